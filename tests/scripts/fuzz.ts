/**
 * Reads files that were changed at random with all six readers:
 *
 *     npx tsx tests/scripts/fuzz.ts [COUNT = 100000] [FIRST = 0] [READER = all] [FOLDER]
 *
 * FOLDER: files of others that are changed too, beside our own and the public importer test suite. A
 * case's number is its seed: COUNT 1 and its number make it again, beside the same files. Prints how far
 * it is, every case that fails, and for each reader what became of its cases and the slowest of them; a
 * case that computes for half a minute ends the run with its number.
 */
import { Worker } from 'node:worker_threads';
import { changeFilesOf, fuzzCase, READERS, type Reader, readCase } from '../support/fuzz';

const count = Number(process.argv[2] ?? 100_000);
const first = Number(process.argv[3] ?? 0);
/** `mid` reads COUNT cases of MIDI files alone. */
const only = READERS.findIndex((r) => r === process.argv[4]);
if (process.argv[5] !== undefined) changeFilesOf(process.argv[5]);
const step = only < 0 ? 1 : READERS.length;
const begin = only < 0 ? first : first * step + only;

// The files are gathered before anything is watched.
fuzzCase(begin);

/** The case at work, watched from another thread by the time it computes: one that does not end cannot tell so itself. */
const at = new Int32Array(new SharedArrayBuffer(4));
const watch = new Worker(
  `const { workerData } = require('node:worker_threads');
   let last = -1, from = 0;
   setInterval(() => {
     const now = Atomics.load(workerData, 0), { user } = process.cpuUsage();
     if (now !== last) from = user;
     last = now;
     if (user - from > 30e6) { require('node:fs').writeSync(2, 'case ' + now + ' does not end\\n'); process.kill(process.pid, 'SIGKILL'); }
   }, 1000);`,
  { eval: true, workerData: at },
);
watch.unref();

/** What became of the cases of one reader. */
interface Tally {
  cases: number;
  taken: number;
  failed: number;
  slowest: { readonly number: number; readonly ms: number };
}

const tallies = new Map<Reader, Tally>(
  READERS.map((r) => [r, { cases: 0, taken: 0, failed: 0, slowest: { number: -1, ms: 0 } }]),
);
const started = performance.now();
for (let i = 0, number = begin; i < count; i++, number += step) {
  Atomics.store(at, 0, number);
  const one = fuzzCase(number);
  const tally = tallies.get(one.reader)!;
  const start = performance.now();
  tally.cases++;
  try {
    if (readCase(one)) tally.taken++;
  } catch (e) {
    tally.failed++;
    console.error(`case ${number} (${one.reader}): ${e instanceof Error ? e.message : e}`);
  }
  const ms = Math.round(performance.now() - start);
  if (ms > tally.slowest.ms) tally.slowest = { number, ms };
  if ((i + 1) % 5_000 === 0)
    console.error(`${i + 1} of ${count}, ${Math.round((performance.now() - started) / 1_000)} s`);
}
const failed = [...tallies.values()].reduce((n, t) => n + t.failed, 0);
console.log(`${count} cases from ${first}, ${failed} failed`);
for (const [reader, t] of tallies)
  if (t.cases > 0)
    console.log(
      `${reader}: ${t.cases} cases, ${t.taken} taken, ${t.cases - t.taken - t.failed} refused, ${t.failed} failed; slowest: case ${t.slowest.number}, ${t.slowest.ms} ms`,
    );
process.exitCode = failed === 0 ? 0 : 1;
