/**
 * Every technique on every string at low, middle and high frets, through the command line to a WAV file
 * and measured by an independent pitch tracker: `npx tsx tests/scripts/pitch-goals.ts [TONE]`.
 */
import { run } from '../../src/cli/run';
import type { Phrase } from '../../src/core/phrase/types';
import { encodePhrase } from '../../src/io/json';
import { build } from '../support/build';
import { memoryIo } from '../support/memory-io';
import {
  BUILT,
  type Case,
  casesAt,
  type Measured,
  measure,
  misses,
  quantile,
} from '../support/pitch-goals';
import { readWav } from '../support/timbre/recording';

const tone = process.argv[2] ?? 'clean';

async function converted(p: Phrase): Promise<Float32Array> {
  const io = memoryIo({ files: { 'a.json': encodePhrase(p) } });
  const code = await run(['convert', 'a.json', '-o', 'a.wav', '--tone', tone], io);
  if (code !== 0) throw new Error(io.stderr());
  return readWav(Buffer.from(io.disk.get('a.wav')!));
}

const rows = new Map<string, { readonly goal: Case['goal']; readonly all: Measured[] }>();
let missed = 0;

async function judge(c: Case, where: string): Promise<void> {
  const p = build(c.text, BUILT);
  const m = measure(p, await converted(p), c.target);
  const row = rows.get(c.name) ?? { goal: c.goal, all: [] };
  row.all.push(m);
  rows.set(c.name, row);
  const said = misses(c, m);
  if (said.length > 0) {
    missed++;
    console.log(`missed: ${c.name}, ${where} (${c.text}): ${said.join('; ')}`);
  }
}

for (const string of [6, 5, 4, 3, 2, 1]) {
  for (const fret of [2, 9, 17]) {
    for (const c of casesAt(string, fret)) await judge(c, `string ${string}, fret ${fret}`);
  }
}
// Unequal bends of a double stop, each string alone: a whole tone and a half.
for (const [text, target] of [
  ['h 3/7(bend:E4)', 64],
  ['h 2/8(bend:G#4)', 68],
  ['h 2/15(bend:E5)', 76],
  ['h 1/15(bend:G#5)', 80],
] as const) {
  const c: Case = { name: 'unequal double-stop bend', text, goal: 'moving', target };
  await judge(c, 'alone');
}

const f = (v: number) => v.toFixed(2).padStart(6);
console.log(
  `${'technique'.padEnd(28)} windows  median   95%  worst | target median worst | onset worst (ms) | slips`,
);
for (const [name, { all }] of rows) {
  const off = all.flatMap((m) => m.off);
  const end = all.flatMap((m) => m.end);
  const slips = all.reduce((sum, m) => sum + m.slips, 0);
  const onset = Math.max(...all.map((m) => Math.abs(m.onset)));
  console.log(
    `${name.padEnd(28)} ${String(off.length).padStart(7)} ${f(quantile(off, 0.5))} ${f(quantile(off, 0.95))} ${f(quantile(off, 1))} | ${f(quantile(end, 0.5))} ${f(quantile(end, 1))} | ${f(onset)} | ${slips}`,
  );
}
console.log(missed === 0 ? 'every goal is met' : `${missed} goals are missed`);
