import { appendFile, readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Plugin } from 'vite';

const FONTS = path.resolve(import.meta.dirname, '../engrave/font/OFL.txt');

/** The licence of the fonts goes along with them; that of the packages is written by Vite. */
export function fontLicence(): Plugin {
  return {
    name: 'degreewise-font-licence',
    apply: 'build',
    async generateBundle() {
      const source = await readFile(FONTS, 'utf8');
      this.emitFile({ type: 'asset', fileName: 'licence-of-fonts.txt', source });
    },
  };
}

/** Packages that workers alone contain, of which Vite's list of licences does not know. */
const IN_WORKERS_ONLY: readonly { readonly name: string; readonly file: string }[] = [
  { name: 'midi-file', file: 'LICENSE.md' },
  { name: 'fastest-levenshtein', file: 'LICENSE.md' },
];

/** Puts the licences of packages that only workers contain behind those that Vite has written. */
export function workerLicences(): Plugin {
  let list = '';
  return {
    name: 'degreewise-worker-licences',
    apply: 'build',
    configResolved(config) {
      list = path.resolve(config.root, config.build.outDir, 'licences.md');
    },
    async writeBundle() {
      const parts = await Promise.all(IN_WORKERS_ONLY.map(licenceOf));
      await appendFile(list, parts.join(''));
    },
  };
}

async function licenceOf({ name, file }: (typeof IN_WORKERS_ONLY)[number]): Promise<string> {
  const folder = path.resolve(import.meta.dirname, '../../node_modules', name);
  const { version, license } = JSON.parse(
    await readFile(path.join(folder, 'package.json'), 'utf8'),
  );
  const text = await readFile(path.join(folder, file), 'utf8');
  return `\n## ${name} - ${version} (${license})\n\n${text.trim()}\n`;
}
