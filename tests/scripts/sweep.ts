/**
 * Moves and fingers generated phrases by the hundred thousand: `npx tsx tests/scripts/sweep.ts [count] [first seed]`.
 * Stops with exit code 1 at the first throw, invalid phrase or hard rule broken without a word in the report.
 */
import { sweep } from '../support/sweep';

const count = Number(process.argv[2] ?? 100_000);
const first = Number(process.argv[3] ?? 0);
const began = performance.now();
const counts = sweep(
  first,
  first + count,
  (done) => {
    if (done % 10_000 === 0)
      console.log(`${done} phrases, ${Math.round(performance.now() - began)} ms`);
  },
  20,
);
console.log(`${count} phrases from seed ${first} in ${Math.round(performance.now() - began)} ms`);
console.log(JSON.stringify({ ...counts, reasons: Object.fromEntries(counts.reasons) }, null, 2));
