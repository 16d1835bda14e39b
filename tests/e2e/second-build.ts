import { readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';

/** Files that name others. */
const TEXT = /\.(?:js|css|html|json|webmanifest)$/u;

/**
 * Turns a built app into a later build, in place: every file under `assets/` has another name,
 * everywhere, as when something in each had changed; what had the old names is gone.
 */
export function deployAnother(folder: string): void {
  const assets = path.join(folder, 'assets');
  const names = readdirSync(assets);
  const renamed = new Map(names.map((n) => [n, n.replace(/\.(\w+)$/u, '-later.$1')]));
  const everything = [
    ...names.map((n) => path.join(assets, n)),
    ...['index.html', 'sw.js'].map((n) => path.join(folder, n)),
  ];
  for (const file of everything.filter((f) => TEXT.test(f))) {
    let text = readFileSync(file, 'utf8');
    for (const [before, after] of renamed) text = text.replaceAll(before, after);
    writeFileSync(file, text);
  }
  for (const [before, after] of renamed) {
    renameSync(path.join(assets, before), path.join(assets, after));
  }
}
