import { readFile } from 'node:fs/promises';
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
