import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Plugin } from 'vite';

const NAME = 'virtual:samples';
const ID = `\0${NAME}`;

/**
 * The phrases that come along, in one file: asked for one by one they cost a request each, and
 * together they are packed three times as small. Tests check them all, so that no page need do it.
 */
export function samplesInOnePiece(): Plugin {
  let folder = '';
  return {
    name: 'degreewise-samples',
    configResolved(config) {
      folder = path.join(config.root, 'samples');
    },
    resolveId: (id) => (id === NAME ? ID : null),
    async load(id) {
      if (id !== ID) return null;
      const files = (await readdir(folder)).filter((f) => f.endsWith('.json')).sort();
      const texts = await Promise.all(
        files.map(async (file) => {
          this.addWatchFile(path.join(folder, file));
          return JSON.stringify(JSON.parse(await readFile(path.join(folder, file), 'utf8')));
        }),
      );
      return `export const texts = ${JSON.stringify(texts)};`;
    },
  };
}
