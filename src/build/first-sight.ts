import { type Plugin, runnerImport } from 'vite';

const SCRIPT = 'src/ui/first-sight.ts';
const MARKUP = './src/ui/app/first-sight-markup.tsx';
const PLACE = '<div id="app"></div>';

/**
 * Lays the first sight into the page: what a first visit shows, drawn when the app is built, and the
 * small script that lets it be seen. The program itself takes seconds on a slow phone.
 */
export function firstSight(): Plugin {
  return {
    name: 'degreewise-first-sight',
    apply: 'build',
    buildStart() {
      this.emitFile({ type: 'chunk', id: SCRIPT, name: 'first-sight' });
    },
    transformIndexHtml: {
      order: 'post',
      async handler(html, { bundle }) {
        const { module } = await runnerImport<{ firstSightMarkup: () => string }>(MARKUP, {
          configFile: false,
          logLevel: 'warn',
        });
        if (!html.includes(PLACE)) throw new Error('the page has no place for the first sight');
        const sight = `<div id="first-sight" hidden>${module.firstSightMarkup()}</div>`;
        const chunk = Object.values(bundle ?? {}).find(
          (f) => f.type === 'chunk' && f.name === 'first-sight',
        );
        if (chunk === undefined) throw new Error('the script of the first sight is missing');
        // Before the program, and after the policy.
        const shows = `<script type="module" async fetchpriority="high" src="./${chunk.fileName}"></script>`;
        return html
          .replace(PLACE, () => PLACE.replace('></', () => `>${sight}</`))
          .replace('<script ', () => `${shows}<script `);
      },
    },
  };
}
