/**
 * What moved between two states of the engraver, by kind of sign, and how far:
 * `npx tsx tests/scripts/compare-ink.ts BEFORE AFTER` with two files of `ink-table.ts`. Each piece of
 * ink is paired with the nearest of its kind in the same line; distances are in units, ten to a staff
 * space, of the edge that moved most.
 */
import { readFileSync } from 'node:fs';

type Piece = readonly [kind: string, ...edges: number[]];
type Pages = Readonly<Record<string, readonly (readonly Piece[])[]>>;

const [before, after] = process.argv
  .slice(2)
  .map((file) => JSON.parse(readFileSync(file, 'utf8')) as Pages);
if (before === undefined || after === undefined) throw new Error('which two files?');

interface Count {
  all: number;
  moved: number;
  most: number;
  where: string;
  added: number;
}

const counts = new Map<string, Count>();
const distance = (a: Piece, b: Piece) =>
  Math.max(...a.slice(1).map((edge, i) => Math.abs(Number(edge) - Number(b[i + 1]))));

const countOf = (kind: string): Count => {
  const count = counts.get(kind) ?? { all: 0, moved: 0, most: 0, where: '', added: 0 };
  counts.set(kind, count);
  return count;
};

for (const page of new Set([...Object.keys(before), ...Object.keys(after)])) {
  const [old, now] = [before[page] ?? [], after[page] ?? []];
  let most = 0;
  for (let i = 0; i < Math.max(old.length, now.length); i++) {
    const left = [...(now[i] ?? [])];
    for (const piece of old[i] ?? []) {
      const kind = piece[0];
      const count = countOf(kind);
      count.all++;
      const nearest = left
        .map((other, k) => ({ k, d: other[0] === kind ? distance(piece, other) : Infinity }))
        .reduce((a, b) => (b.d < a.d ? b : a), { k: -1, d: Number.POSITIVE_INFINITY });
      if (nearest.d === Number.POSITIVE_INFINITY) {
        count.added--;
        continue;
      }
      left.splice(nearest.k, 1);
      if (nearest.d > 0) count.moved++;
      if (nearest.d > count.most) Object.assign(count, { most: nearest.d, where: page });
      most = Math.max(most, nearest.d);
    }
    // Of a kind that was not there before, and on lines that were not there before, as well.
    for (const [kind] of left) countOf(kind).added++;
  }
  if (page.startsWith('golden')) console.log(`${page}: at most ${most.toFixed(2)}`);
}
for (const [kind, c] of [...counts].sort()) {
  if (c.moved === 0 && c.added === 0) continue;
  const pieces = c.added === 0 ? '' : `, ${Math.abs(c.added)} ${c.added > 0 ? 'more' : 'fewer'}`;
  console.log(
    `${kind}: ${c.moved} of ${c.all}, at most ${c.most.toFixed(2)} (${c.where})${pieces}`,
  );
}
