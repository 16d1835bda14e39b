/*
 * MIDI files of generated phrases and of the samples, read back: how many come back equal in what MIDI can
 * carry, and what the others lost.
 *
 *   npx tsx tests/scripts/midi-in.ts [COUNT = 2000] [SHOWN = 10]
 */
import { readMidi } from '../../src/io/midi-in/read-midi';
import { writeMidi } from '../../src/io/midi-out/write';
import { seededPhrase } from '../support/arbitrary';
import { MIDI_CARRIES, midiDifferences } from '../support/midi-fields';
import { readSamples } from '../support/samples';

const count = Number(process.argv[2] ?? 2_000);
let shown = Number(process.argv[3] ?? 10);
const sums = { equal: 0, 'read as swung': 0, different: 0, refused: 0 };
const kinds = new Map<string, number>();
let ms = 0;
for (let seed = 1; seed <= count; seed++) {
  const p = seededPhrase(seed, { without: MIDI_CARRIES.not });
  const bytes = writeMidi(p);
  let ids = 0;
  const began = performance.now();
  const read = readMidi(bytes, { newId: () => `n${++ids}`, now: p.meta.created, title: 'x' });
  ms += performance.now() - began;
  if (!read.ok) {
    sums.refused++;
    process.stdout.write(`${seed}: ${read.problems[0]!.message}\n`);
    continue;
  }
  const lost = midiDifferences(p, read.value.phrase, true);
  if (lost.length === 0) sums.equal++;
  else if (read.value.phrase.feel.kind === 'swing') sums['read as swung']++;
  else {
    sums.different++;
    const kind = /^[+-]\s+\d/u.test(lost[0]!) ? 'notes' : lost[0]!.split(' ')[1]!;
    kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    if (shown-- > 0) process.stdout.write(`${seed}:\n  ${lost.slice(0, 6).join('\n  ')}\n`);
  }
}
process.stdout.write(
  `${JSON.stringify(sums)} ${JSON.stringify([...kinds])} ${(ms / count).toFixed(1)} ms a file\n`,
);
for (const { name, phrase } of readSamples()) {
  let ids = 0;
  const bytes = writeMidi(phrase, { repeats: false });
  const read = readMidi(bytes, { newId: () => `n${++ids}`, now: phrase.meta.created, title: 'x' });
  if (!read.ok) process.stdout.write(`${name}: ${read.problems[0]!.message}\n`);
  else {
    const lost = midiDifferences(phrase, read.value.phrase, false);
    if (lost.length > 0) process.stdout.write(`${name}\n  ${lost.slice(0, 6).join('\n  ')}\n`);
  }
}
