/**
 * How fast a library of many phrases is searched, beside a look at every phrase:
 *
 *     node --expose-gc --import tsx tests/scripts/search-bench.ts [SIZES = 1000,10000,100000] [QUERIES = 300]
 *
 * Generated phrases with titles and tags of their own; queries of the generator of the tests, which
 * takes their parts from phrases of the library. Times are those of the processor, so that they mean
 * something on a busy machine. Prints build time, size, memory, and median, p95 and
 * worst of the answers for each size, and how they grow: of the first 120, as a page shows them, of the number of all
 * with the first 100, and of all ids in their order. The scan asks the definitions of every phrase.
 */
import type { Phrase } from '../../src/core/phrase/types';
import { Asking, answer } from '../../src/core/search/catalogue/answer';
import { Catalogue } from '../../src/core/search/catalogue/catalogue';
import { sheetOf } from '../../src/core/search/catalogue/sheet';
import { define } from '../../src/core/search/define/define';
import { either } from '../../src/core/search/query/join';
import type { Query, RowStep, Search } from '../../src/core/search/query/types';
import { writeQuery } from '../../src/core/search/query/write';
import { Dice } from '../support/generate/dice';
import { cpuTime, libraryPhrase, ms, quantile, timed } from '../support/many';
import { atomOf, QUERY_KINDS, randomSearch } from '../support/queries';

const sizes = (process.argv[2] ?? '1000,10000,100000').split(',').map(Number);
const queries = Number(process.argv[3] ?? 300);

const turned = (s: RowStep, i: number, d: Dice): RowStep =>
  i === 0 ? s : { ...s, turn: d.pick(['up', 'down'] as const) };
const plain = (s: RowStep): RowStep => ({ ...s, turn: null, gap: false, techniques: [] });
const unsaid = (s: RowStep): RowStep => ({ ...s, degree: null, techniques: [] });
const apart = (s: RowStep, i: number): RowStep => (i === 0 ? s : { ...s, gap: true });
/** What rows cost that look at the notes of nearly all. */
const ROWS: readonly (readonly [name: string, of: (d: Dice) => Query | null])[] = [
  ['rows, side by side', rowsAs(plain)],
  ['rows, all ?', rowsAs((s) => unsaid(plain(s)))],
  ['rows, a ? within', rowsAs((s, i) => (i === 1 ? unsaid(plain(s)) : plain(s)))],
  ['rows, gaps', rowsAs((s, i) => apart(plain(s), i))],
  ['rows, turns', rowsAs((s, i, d) => turned(plain(s), i, d))],
  ['rows, ? with turns', rowsAs((s, i, d) => turned(unsaid(plain(s)), i, d))],
  ['rows, gaps with turns', rowsAs((s, i, d) => apart(turned(plain(s), i, d), i))],
  ['rows, ? with gaps and turns', rowsAs((s, i, d) => apart(turned(unsaid(plain(s)), i, d), i))],
  [
    'three rows of ?, gaps and turns, or',
    (d) => {
      const of = rowsAs((s, i, dice) => apart(turned(unsaid(plain(s)), i, dice), i));
      return either([of(d), of(d), of(d)].flatMap((q) => q ?? []));
    },
  ],
  [
    'three rows of turns, or',
    (d) => {
      const of = rowsAs((s, i, dice) => turned(plain(s), i, dice));
      return either([of(d), of(d), of(d)].flatMap((q) => q ?? []));
    },
  ],
];

/** What one query costs: its first answers, their number with a hundred of them, all of them. */
class Costs {
  private readonly first: number[] = [];
  private readonly count: number[] = [];
  private readonly all: number[] = [];

  ask(index: Catalogue, search: Search): number {
    this.first.push(timed(() => new Asking(index, search).first(120)));
    const count = timed(() => answer(index, search, 100));
    this.count.push(count);
    this.all.push(timed(() => answer(index, search)));
    return count;
  }

  get sorted(): readonly number[] {
    return [...this.count].sort((a, b) => a - b);
  }

  get told(): string {
    const of = (some: readonly number[]) => {
      const s = [...some].sort((a, b) => a - b);
      return `${ms(quantile(s, 0.5))}, p95 ${ms(quantile(s, 0.95))}, worst ${ms(s.at(-1) ?? 0)}`;
    };
    return `median ${of(this.count)}; the first ${of(this.first)}; all ids ${of(this.all)}`;
  }
}

const rows: { size: number; p50: number; p95: number; scan: number }[] = [];
for (const size of sizes) {
  const index = new Catalogue();
  const kept: Phrase[] = [];
  const before = memory();
  let [read, put] = [0, 0];
  for (let i = 0; i < size; i++) {
    const p = libraryPhrase(i);
    if (i % Math.ceil(size / 1000) === 0) kept.push(p);
    const start = cpuTime();
    const sheet = sheetOf(p);
    const middle = cpuTime();
    index.put(sheet);
    read += middle - start;
    put += cpuTime() - middle;
  }
  const sorting = timed(() => index.prepare());
  console.log(
    `\n${size} phrases: facts read in ${ms(read)}, put in ${ms(put)}, orders sorted in ${ms(sorting)},`,
    `memory ${((memory() - before) / 2 ** 20).toFixed(0)} MiB`,
  );
  const d = new Dice(1, 904);
  // What is made when it is first asked for is made now.
  for (let i = 0; i < 20; i++) answer(index, randomSearch(d, d.pick(kept)), 100);
  const costs = new Costs();
  let slowest = { time: 0, text: '' };
  for (let i = 0; i < queries; i++) {
    const search = randomSearch(d, d.pick(kept));
    const time = costs.ask(index, search);
    if (time > slowest.time) slowest = { time, text: writeQuery(search) };
  }
  const combined = costs.sorted;
  console.log(`combined queries: ${costs.told}; worst ${ms(slowest.time)} of ${slowest.text}`);
  for (const kind of QUERY_KINDS) {
    const each: number[] = [];
    for (let i = 0; i < 25; i++) {
      const query = atomOf(kind, d, d.pick(kept));
      if (query !== null) each.push(timed(() => answer(index, { query, order: null }, 100)));
    }
    each.sort((a, b) => a - b);
    console.log(`  ${kind}: median ${ms(quantile(each, 0.5))}, p95 ${ms(quantile(each, 0.95))}`);
  }
  for (const [name, of] of ROWS) {
    const each = new Costs();
    for (let i = 0; i < 40; i++) {
      const query = of(d);
      if (query !== null) each.ask(index, { query, order: null });
    }
    console.log(`  ${name}: ${each.told}`);
  }
  // Every phrase of a sample of at most 1,000 is asked, each as one never seen; the rest is reckoned from it.
  const scans: number[] = [];
  for (let i = 0; i < 10; i++) {
    const { query } = randomSearch(d, d.pick(kept));
    scans.push(timed(() => kept.map((p) => define(query, { ...p }))) * (size / kept.length));
  }
  scans.sort((a, b) => a - b);
  console.log(`the scan of all: median ${ms(quantile(scans, 0.5))} (from ${kept.length} phrases)`);
  rows.push({
    size,
    p50: quantile(combined, 0.5),
    p95: quantile(combined, 0.95),
    scan: quantile(scans, 0.5),
  });
  const again = libraryPhrase(size + 1);
  console.log(`one phrase more: ${ms(timed(() => index.put(sheetOf(again))))}`);
}
const [first, last] = [rows[0]!, rows.at(-1)!];
console.log(
  `\nfrom ${first.size} to ${last.size} (× ${last.size / first.size}): median × ${(last.p50 / first.p50).toFixed(1)},`,
  `p95 × ${(last.p95 / first.p95).toFixed(1)}, scan × ${(last.scan / first.scan).toFixed(1)};`,
  `scan : index = ${(last.scan / last.p50).toFixed(0)}`,
);

/** A row out of a phrase with every step changed in one way; null where the phrase has none long enough. */
function rowsAs(
  change: (step: RowStep, place: number, d: Dice) => RowStep,
): (d: Dice) => Query | null {
  return (d) => {
    for (let tries = 0; tries < 50; tries++) {
      const row = atomOf('row', d, libraryPhrase(d.int(0, 999)));
      if (row?.kind !== 'row' || row.steps.length < 3) continue;
      const [first, ...more] = row.steps;
      return {
        ...row,
        steps: [change(first!, 0, d), ...more.map((s, i) => change(s, i + 1, d))],
      };
    }
    return null;
  };
}

function memory(): number {
  globalThis.gc?.();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}
