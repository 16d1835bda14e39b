/**
 * Reads texts of the query language that were changed at random:
 *
 *     npx tsx tests/scripts/query-fuzz.ts [COUNT = 100000] [FIRST = 0]
 *
 * Each is read, or refused with a place inside the text, in under 50 ms; what is read is written and
 * read back to the same, and a phrase can be asked for it. Prints every case that fails.
 */
import { isDeepStrictEqual } from 'node:util';
import { define } from '../../src/core/search/define/define';
import { readQuery } from '../../src/core/search/query/read';
import { writeQuery } from '../../src/core/search/query/write';
import { Dice } from '../support/generate/dice';
import { seededPhrase } from '../support/generate/phrase';
import { timed } from '../support/many';
import { randomSearch } from '../support/queries';

const count = Number(process.argv[2] ?? 100_000);
const first = Number(process.argv[3] ?? 0);
const PHRASES = Array.from({ length: 20 }, (_, i) => seededPhrase(i));
const PIECES = [
  ...'()",:.>-+?<=|/\\♭♯b#R1579 \t“”',
  ...[
    ' or ',
    ' not ',
    ' over ',
    'order:',
    'level:',
    'rhythm:',
    '..',
    'IV7',
    'with:',
    '\u0301',
    '😀',
  ],
];

let [read, refused, failed, slowest] = [0, 0, 0, 0];
for (let n = first; n < first + count; n++) {
  const d = new Dice(n, 940);
  const p = d.pick(PHRASES);
  let text = writeQuery(randomSearch(d, p));
  for (let i = d.int(1, 4); i > 0; i--) {
    const at = d.int(0, text.length);
    const gone = d.chance(0.5) ? d.int(0, 3) : 0;
    text = text.slice(0, at) + (d.chance(0.7) ? d.pick(PIECES) : '') + text.slice(at + gone);
  }
  try {
    const time = timed(() => check(text, n % 20 === 0));
    slowest = Math.max(slowest, time);
  } catch (e) {
    failed++;
    console.log(`case ${n}: ${JSON.stringify(text)}: ${e instanceof Error ? e.message : e}`);
  }

  function check(query: string, ask: boolean): void {
    const result = readQuery(query);
    if (!result.ok) {
      const [problem] = result.problems;
      const column = problem?.column ?? 0;
      if (column < 1 || column > query.length + 1) throw new Error(`no place: ${column}`);
      refused++;
      return;
    }
    const written = writeQuery(result.value);
    const again = readQuery(written);
    if (!again.ok || !isDeepStrictEqual(again.value, result.value)) {
      throw new Error(`is not read back from ${written}`);
    }
    if (ask) define(result.value.query, p);
    read++;
  }
}
console.log(`${count} texts: ${read} read, ${refused} refused with their place, ${failed} failed`);
console.log(`slowest ${slowest.toFixed(0)} ms of the processor`);
