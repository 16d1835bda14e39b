/**
 * What is exported, read by programs that nobody here wrote: `npx tsx tests/scripts/exports.ts [COUNT = 2000] [FIRST = 0]`
 * for the samples and so many generated phrases. MusicXML by verovio (pitch, onset, length, string and fret of
 * every note) and against the XSD of MusicXML 4.0 where it is present; MIDI by midi-file (onset and key of every
 * note that begins, of phrases without ornaments and swing, which sound more than they write).
 */
import { parseMidi } from 'midi-file';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { formatPitch, midiOf } from '../../src/core/theory/pitch';
import { writeMidi } from '../../src/io/midi-out/write';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { seededPhrase } from '../support/arbitrary';
import { MIDI_CARRIES } from '../support/midi-fields';
import { readSamples } from '../support/samples';
import { startVerovio, type VerovioNote, type VerovioReading } from '../support/verovio';
import { checkAgainstXsd40, type NamedXml } from '../support/xmllint';

const count = Number(process.argv[2] ?? 2_000);
const first = Number(process.argv[3] ?? 0);
/** Files that the checker of schemas judges at once. */
const BATCH = 100;

let verovio = await startVerovio();
let scores = 0;
/** Which verovio itself breaks at, started anew too. */
const broken: string[] = [];
let midis = 0;
let valid = 0;
const wrong: string[] = [];

/** The tied notes of one note joined: `n5`, `n5.2` and so on; null where one is missing. */
function joined(notes: ReadonlyMap<string, VerovioNote>, id: string): VerovioNote | null {
  const head = notes.get(id);
  if (head === undefined) return null;
  let duration = head.duration;
  for (let part = 2; ; part++) {
    const next = notes.get(`${id}.${part}`);
    if (next === undefined) return { ...head, duration };
    if (next.onset !== head.onset + duration || next.midi !== head.midi) return null;
    duration += next.duration;
  }
}

/** Null where verovio breaks, which it does here and there after many files, and at some files always. */
async function readScore(xml: string): Promise<VerovioReading | null> {
  for (let tries = 0; tries < 2; tries++) {
    try {
      return verovio(xml);
    } catch (e) {
      // What comes out of the compiled program is no error of ours.
      if (e instanceof Error && e.name !== 'RuntimeError') throw e;
      verovio = await startVerovio();
    }
  }
  return null;
}

function scoreFaults(p: Phrase, { notes }: VerovioReading): readonly string[] {
  return notesOf(p).flatMap(({ note, event }, i) => {
    const staff = joined(notes, `n${i + 1}`);
    const tab = joined(notes, `t${i + 1}`);
    const pitch = note.kind === 'dead' ? null : formatPitch(note.pitch);
    const same =
      [staff, tab].every((n) => n?.onset === event.onset && n.duration === event.duration) &&
      tab?.string === note.string &&
      tab.fret === note.fret &&
      (pitch === null || staff?.spelled === pitch);
    return same ? [] : [`note ${i + 1} ${JSON.stringify([staff, tab])}`];
  });
}

/** Onsets in ticks of 10,080 a quarter, and keys, as a file of MIDI has them. */
function midiFaults(p: Phrase): readonly string[] {
  const { header, tracks } = parseMidi(writeMidi(p, { repeats: false, swing: 'written' }));
  const heard = tracks.flatMap((track) => {
    let at = 0;
    return track.flatMap((e) => {
      at += e.deltaTime;
      if (e.type !== 'noteOn' || e.velocity === 0) return [];
      return [`${Math.round((at * 10_080) / header.ticksPerBeat!)} ${e.noteNumber}`];
    });
  });
  const meant = notesOf(p).flatMap(({ note, event }) =>
    note.kind === 'dead' ? [] : [`${event.onset} ${midiOf(note.pitch)}`],
  );
  const [a, b] = [heard, meant].map((l) => l.sort().join());
  return a === b ? [] : [`MIDI ${a} is not ${b}`];
}

const phrases: (readonly [string, Phrase])[] = [
  ...readSamples().map((s) => [s.name, s.phrase] as const),
  ...Array.from(
    { length: count },
    (_, i) => [`seed ${first + i}`, seededPhrase(first + i)] as const,
  ),
];
let batch: NamedXml[] = [];
for (const [i, [name, p]] of phrases.entries()) {
  const xml = writeMusicXml(p);
  const read = await readScore(xml);
  if (read === null) broken.push(name);
  else scores++;
  const faults = read === null ? [] : scoreFaults(p, read);
  if (faults.length > 0) wrong.push(`${name}: ${faults[0]}, ${faults.length} in all`);
  if (name.startsWith('seed')) {
    const plain = seededPhrase(Number(name.slice(5)), { without: MIDI_CARRIES.not });
    midis++;
    wrong.push(...midiFaults(plain).map((f) => `${name}: ${f.slice(0, 300)}`));
  }
  batch.push({ name: `${i}.xml`, xml });
  if (batch.length < BATCH && i + 1 < phrases.length) continue;
  const verdict = await checkAgainstXsd40(batch);
  for (const [file, messages] of verdict ?? [])
    if (messages.length === 0) valid++;
    else wrong.push(`${phrases[Number.parseInt(file, 10)]![0]}: ${messages[0]}`);
  batch = [];
  console.error(`${i + 1} of ${phrases.length}, ${wrong.length} wrong`);
}
console.log(
  `${scores} scores read by verovio, ${valid} valid against the XSD, ${midis} MIDI files read by midi-file; ${wrong.length} wrong; verovio breaks at ${broken.length}: ${broken.join(', ')}`,
);
console.log(wrong.slice(0, 40).join('\n'));
process.exitCode = wrong.length === 0 ? 0 : 1;
