import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { build, type Plugin, type Rolldown } from 'vite';

const NAME = 'virtual:lesson-page';
const ID = `\0${NAME}`;
const root = path.resolve(import.meta.dirname, '../..');

/** Fonts of the page, by family, weight and file. */
const FONTS = [
  ['Degreewise Music', 400, 'degreewise-music.woff2'],
  ['Degreewise Text', 400, 'degreewise-text.woff2'],
  ['Degreewise Text', 700, 'degreewise-text-bold.woff2'],
] as const;

/**
 * What stands inside an exported lesson: one script, one style with the fonts in it, and their hashes for
 * the policy of the page.
 */
export function lessonPage(): Plugin {
  let made: Promise<string> | null = null;
  return {
    name: 'degreewise-lesson-page',
    resolveId: (id) => (id === NAME ? ID : null),
    load(id) {
      if (id !== ID) return null;
      made ??= inside();
      return made;
    },
  };
}

async function inside(): Promise<string> {
  const [built] = [
    await build({
      configFile: false,
      root,
      publicDir: false,
      logLevel: 'warn',
      build: {
        write: false,
        target: 'es2022',
        // Otherwise the script would bring its style along, which the policy of the page refuses.
        cssCodeSplit: false,
        rolldownOptions: { input: 'src/lesson-page/page.ts', output: { format: 'iife' } },
      },
    }),
  ].flat() as readonly Rolldown.RolldownOutput[];
  const output = built?.output ?? [];
  const script = output
    .flatMap((o) => (o.type === 'chunk' ? [o.code] : []))
    .join('')
    .trim();
  const css = output.flatMap((o) => (o.type === 'asset' ? [String(o.source)] : [])).join('');
  if (script === '' || css === '') throw new Error('the lesson page has no script or no style');
  const style = (await fontFaces()) + css.trim();
  if (/<\/(?:script|style)/iu.test(script + style)) {
    throw new Error('the script or the style of a lesson page would end itself');
  }
  const parts = { script, scriptHash: hash(script), style, styleHash: hash(style) };
  return Object.entries(parts)
    .map(([name, text]) => `export const ${name} = ${JSON.stringify(text)};`)
    .join('\n');
}

async function fontFaces(): Promise<string> {
  const rules = FONTS.map(async ([family, weight, file]) => {
    const bytes = await readFile(path.join(root, 'src/engrave/font', file));
    const url = `data:font/woff2;base64,${bytes.toString('base64')}`;
    return `@font-face{font-family:"${family}";font-weight:${weight};src:url(${url}) format("woff2")}`;
  });
  return (await Promise.all(rules)).join('');
}

function hash(text: string): string {
  return `sha256-${createHash('sha256').update(text).digest('base64')}`;
}
