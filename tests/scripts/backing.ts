/*
 * The band over every sample's lane, every form of the support, every quality and many generated lanes,
 * in every feel: faults are listed, and how far the voices of the comping move is counted.
 *
 *   npx tsx tests/scripts/backing.ts [LANES] [SEEDS]
 */
import { makeBacking } from '../../src/core/backing/backing';
import { formOfBars, formOfPhrase } from '../../src/core/backing/form';
import { BACKING_FEELS, type BackingForm } from '../../src/core/backing/types';
import { layForm } from '../../src/core/form/lay';
import { STANDARD_FORMS } from '../../src/core/form/standard';
import { parsePitchClass } from '../../src/core/theory/pitch';
import { backingFaults } from '../support/backing-faults';
import { FORMS, formNamed, QUALITIES } from '../support/forms';
import { seededLane } from '../support/generate-lane';
import { readSamples } from '../support/samples';

const lanes = Number(process.argv[2] ?? 500);
const seeds = Number(process.argv[3] ?? 3);
const forms: { name: string; form: BackingForm }[] = readSamples().map((s) => ({
  name: s.name,
  form: formOfPhrase(s.phrase),
}));
const qualities = QUALITIES.flatMap((q) => [q, 'F7', q]).join('|');
for (const name of [...FORMS.map((f) => f.name), qualities])
  forms.push({ name, form: formNamed(name) });
for (const form of STANDARD_FORMS) {
  for (const tonic of ['C', 'F#', 'Bb']) {
    const laid = layForm(form, parsePitchClass(tonic)!);
    if (!laid.ok) throw new Error(`${form.id}: ${laid.problems[0]!.message}`);
    const { key, bars, sectionStarts } = laid.value;
    const { meter, tempo, feel } = form;
    const made = formOfBars({ key, meter, tempo, feel, bars, sectionStarts });
    if (!made.ok) throw new Error(`${form.id}: ${made.problems[0]!.message}`);
    forms.push({ name: `${form.id} in ${tonic}`, form: made.value });
  }
}
let bands = 0;
let notes = 0;
let ms = 0;
const faults = new Map<string, string[]>();
const moves = new Map<number, number>();
const roles = new Map<string, number>();
function tryOut(
  name: string,
  form: BackingForm,
  feel: (typeof BACKING_FEELS)[number],
  seed: number,
): void {
  const began = performance.now();
  const b = makeBacking(form, { feel, seed, loops: seed % 2 === 0 });
  ms += performance.now() - began;
  bands += 1;
  notes += b.bass.length + b.comping.length + b.drums.length;
  for (const n of b.bass) roles.set(n.role, (roles.get(n.role) ?? 0) + 1);
  b.comping.forEach((c, i) => {
    const before = b.comping[i - 1];
    if (
      before === undefined ||
      before.voices === c.voices ||
      before.voices.length !== c.voices.length
    )
      return;
    c.voices.forEach((v, k) => {
      const d = Math.abs(v.midi - before.voices[k]!.midi);
      moves.set(d, (moves.get(d) ?? 0) + 1);
    });
  });
  for (const f of backingFaults(b)) {
    const kind = f.replace(/\d+/gu, 'n');
    faults.set(kind, [...(faults.get(kind) ?? []), `${name}, ${feel}, seed ${seed}: ${f}`]);
  }
}
for (const { name, form } of forms) {
  for (const feel of BACKING_FEELS)
    for (let seed = 1; seed <= seeds; seed++) tryOut(name, form, feel, seed);
}
for (let n = 1; n <= lanes; n++) {
  const { form, feel } = seededLane(n);
  tryOut(`lane ${n}`, form, feel, n);
}
const table = (m: ReadonlyMap<string | number, number>) =>
  [...m]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([k, v]) => `${k}: ${v}`)
    .join('  ');
process.stdout.write(
  `${bands} bands, ${notes} moments, ${(ms / bands).toFixed(1)} ms a band\nbass: ${table(roles)}\nsemitones a voice moves at a change: ${table(moves)}\n`,
);
for (const [kind, list] of faults)
  process.stdout.write(`${list.length} × ${kind}\n    ${list.slice(0, 3).join('\n    ')}\n`);
process.stdout.write(faults.size === 0 ? 'no faults\n' : 'FAULTS\n');
process.exitCode = faults.size === 0 ? 0 : 1;
