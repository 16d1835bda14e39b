/**
 * Reads files that were changed at random with all six readers:
 *
 *     npx tsx tests/scripts/fuzz.ts [COUNT = 100000] [FIRST = 0] [READER = all]
 *
 * Prints every case that fails, the slowest ones, and how many were taken; a case that takes longer
 * than half a minute ends the run with its number. A single case again: COUNT 1 and its number.
 */
import { Worker } from 'node:worker_threads';
import { fuzzCase, READERS, readCase } from '../support/fuzz';

const count = Number(process.argv[2] ?? 100_000);
const first = Number(process.argv[3] ?? 0);
/** `mid` reads COUNT cases of MIDI files alone. */
const only = READERS.findIndex((r) => r === process.argv[4]);
const step = only < 0 ? 1 : READERS.length;
const begin = only < 0 ? first : first * step + only;

/** The case at work, watched from another thread: one that does not end cannot tell so itself. */
const at = new Int32Array(new SharedArrayBuffer(4));
const watch = new Worker(
  `const { workerData } = require('node:worker_threads');
   let last = -1, seen = 0;
   setInterval(() => {
     const now = Atomics.load(workerData, 0);
     seen = now === last ? seen + 1 : 0;
     last = now;
     if (seen >= 30) { require('node:fs').writeSync(2, 'case ' + now + ' does not end\\n'); process.kill(process.pid, 'SIGKILL'); }
   }, 1000);`,
  { eval: true, workerData: at },
);
watch.unref();

const taken = new Map(READERS.map((r) => [r, 0]));
const slowest: { readonly number: number; readonly ms: number }[] = [];
let failed = 0;
for (let number = begin; number < begin + count * step; number += step) {
  Atomics.store(at, 0, number);
  const one = fuzzCase(number);
  const start = performance.now();
  try {
    if (readCase(one)) taken.set(one.reader, taken.get(one.reader)! + 1);
  } catch (e) {
    failed++;
    console.error(`case ${number} (${one.reader}): ${e instanceof Error ? e.message : e}`);
  }
  slowest.push({ number, ms: Math.round(performance.now() - start) });
  if (slowest.length > 1_000) slowest.sort((a, b) => b.ms - a.ms).splice(5);
}
slowest.sort((a, b) => b.ms - a.ms).splice(5);
const each = Math.round(only < 0 ? count / READERS.length : count);
console.log(`${count} cases from ${first}, ${failed} failed`);
console.log(
  [...taken]
    .map(([r, n]) => `${r}: ${n} of about ${only < 0 || r === READERS[only] ? each : 0} taken`)
    .join('\n'),
);
console.log(`slowest: ${slowest.map((s) => `case ${s.number} ${s.ms} ms`).join(', ')}`);
process.exitCode = failed === 0 ? 0 : 1;
