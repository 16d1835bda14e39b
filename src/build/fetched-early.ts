import type { Plugin } from 'vite';

/**
 * Names files in the page that the first script is going to ask for, so that they are on their way
 * with it and not only after it has come and run.
 * @param names Of chunks, as in the names of their files.
 */
export function fetchedEarly(names: readonly string[]): Plugin {
  return {
    name: 'degreewise-fetched-early',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler(_html, { bundle }) {
        const chunks = Object.values(bundle ?? {}).filter((f) => f.type === 'chunk');
        return names.map((name) => {
          const chunk = chunks.find((c) => c.name === name);
          if (chunk === undefined) throw new Error(`no file is called ${name}`);
          return {
            tag: 'link',
            attrs: { rel: 'modulepreload', href: `./${chunk.fileName}` },
            injectTo: 'head' as const,
          };
        });
      },
    },
  };
}
