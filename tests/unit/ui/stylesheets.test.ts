import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';

const ui = path.resolve(import.meta.dirname, '../../../src/ui');

/** Classes that a stylesheet gives rules by their bare name. */
function classesOf(file: string): ReadonlySet<string> {
  const css = readFileSync(path.join(ui, file), 'utf8').replaceAll(/\/\*.*?\*\//gsu, '');
  const selectors = [...css.matchAll(/([^{}]+)\{/gu)].flatMap((m) => m[1]!.split(','));
  return new Set(selectors.flatMap((s) => /^\s*\.([\w-]+)\s*$/u.exec(s)?.[1] ?? []));
}

it('gives no class to two pages, whose stylesheets stay loaded side by side', () => {
  const by = new Map<string, Set<string>>();
  const files = readdirSync(ui, { recursive: true, encoding: 'utf8' });
  for (const file of files.filter((f) => f.endsWith('.css'))) {
    const [room = ''] = file.split(path.sep);
    for (const name of classesOf(file)) by.set(name, (by.get(name) ?? new Set()).add(room));
  }
  const twice = [...by].filter(([, rooms]) => rooms.size > 1);
  // The theme and the frame dress what every page has; a page may add to that.
  const shared = new Set(['theme', 'shared', 'app', 'frame', 'score']);
  const clashes = twice.filter(([, rooms]) => [...rooms].filter((r) => !shared.has(r)).length > 1);
  expect(clashes.map(([name, rooms]) => `${name}: ${[...rooms].join(', ')}`)).toEqual([]);
});
