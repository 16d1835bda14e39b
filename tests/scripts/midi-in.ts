/*
 * MIDI files of the samples and of generated phrases, read back: how many come back equal in what MIDI can
 * carry, and what the others lost. Told three times: as they are written; without what goes along for this
 * program, so from what they play alone; and with everything the program has (repeats, swing, graces, …),
 * where equal means the whole music, every technique and written value.
 *
 *   npx tsx tests/scripts/midi-in.ts [COUNT = 2000] [SHOWN = 10]
 */
import { isDeepStrictEqual } from 'node:util';
import type { Phrase } from '../../src/core/phrase/types';
import { readMidi } from '../../src/io/midi-in/read-midi';
import { type MidiOptions, writeMidi } from '../../src/io/midi-out/write';
import { seededPhrase } from '../support/arbitrary';
import { MIDI_CARRIES, midiDifferences, musicOf } from '../support/midi-fields';
import { readSamples } from '../support/samples';

const count = Number(process.argv[2] ?? 2_000);
const most = Number(process.argv[3] ?? 10);

interface Tried {
  readonly name: string;
  readonly phrase: Phrase;
}

function back(p: Phrase, o: MidiOptions): Phrase | string {
  let ids = 0;
  const options = { newId: () => `n${++ids}`, now: p.meta.created, title: 'x' };
  const read = readMidi(writeMidi(p, o), options);
  return read.ok ? read.value.phrase : read.problems[0]!.message;
}

function tell(
  what: string,
  all: readonly Tried[],
  o: MidiOptions,
  lost: (p: Phrase, back: Phrase) => readonly string[],
): void {
  const sums = { equal: 0, different: 0, refused: 0 };
  const kinds = new Map<string, number>();
  let shown = most;
  const began = performance.now();
  for (const { name, phrase } of all) {
    const read = back(phrase, o);
    const lines = typeof read === 'string' ? [read] : lost(phrase, read);
    if (typeof read === 'string') sums.refused++;
    else if (lines.length === 0) sums.equal++;
    else {
      sums.different++;
      const swung = read.feel.kind === 'swing' && phrase.feel.kind !== 'swing';
      const notes = /^[+-]\s+\d/u.test(lines[0]!);
      const kind = swung ? 'read as swung' : notes ? 'notes' : lines[0]!.split(' ')[1]!;
      kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    }
    if (lines.length > 0 && shown-- > 0) {
      process.stdout.write(`${name}:\n  ${lines.slice(0, 6).join('\n  ')}\n`);
    }
  }
  const ms = ((performance.now() - began) / all.length).toFixed(1);
  process.stdout.write(
    `${what}: ${JSON.stringify(sums)} ${JSON.stringify([...kinds])} ${ms} ms a file written and read\n`,
  );
}

const seeds = Array.from({ length: count }, (_, i) => i + 1);
const plain = seeds.map((s) => ({
  name: `${s}`,
  phrase: seededPhrase(s, { without: MIDI_CARRIES.not }),
}));
const everything = seeds.map((s) => ({ name: `${s}`, phrase: seededPhrase(s) }));
const samples = readSamples();
const music = (p: Phrase, q: Phrase) =>
  isDeepStrictEqual(musicOf(p), musicOf(q)) ? [] : ['the music is another'];

tell('plain', plain, {}, (p, q) => midiDifferences(p, q, true));
tell('plain, from what is played', plain, { score: false }, (p, q) => midiDifferences(p, q, true));
tell('everything', everything, {}, music);
tell('everything, swing as written', everything, { swing: 'written', speed: 0.8 }, music);
tell('samples', samples, {}, music);
const once = { repeats: false, score: false };
tell('samples, from what is played', samples, once, (p, q) => midiDifferences(p, q, false));
