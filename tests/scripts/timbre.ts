/**
 * How near our steel strings come to a recording of a real guitar, beside a General MIDI font: the solo of
 * GuitarSet (Xi, Bittner, Pauwels, Ye, Bello, ISMIR 2018, CC BY 4.0), its own string, fret, onset and
 * pitch contour fed to both, levels aligned by note, one equaliser of 23 bands a sound:
 * `npx tsx tests/scripts/timbre.ts [FOLDER FOR WAV FILES]`. A second take may be named by the variable
 * TAKE (a path without `.jams` and `_mic.wav`); equalisers are then fitted on the solo and kept for it.
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import { writeWav } from '../../src/io/wav/write';
import { refPath } from '../support/refs';
import {
  CENTROID_TIMES,
  DECAY_BANDS,
  distances,
  interval,
  mean,
  median,
} from '../support/timbre/distance';
import { equalised, fitted, type Levels } from '../support/timbre/equaliser';
import { aligned, mixed, type Recording, readTake, type Stem } from '../support/timbre/recording';
import { RATE } from '../support/timbre/spectrum';
import { font, fontMissing, ours } from '../support/timbre/voices';

const SOLO = 'data/guitarset/00_BN1-129-Eb_solo';
const [folder] = process.argv.slice(2);
const jams = refPath(`${SOLO}.jams`);
const wav = refPath(`${SOLO}_mic.wav`);
if (jams === null || wav === null) {
  console.log(`skipped: shared/refs/${SOLO} is absent`);
  process.exit(0);
}
const takes = [readTake(jams, wav)];
const other = process.env.TAKE;
if (other !== undefined) takes.push(readTake(`${other}.jams`, `${other}_mic.wav`));

/** Notes struck with another within so many seconds count as of a chord. */
const TOGETHER = 0.04;
const ofChord = takes.map(({ notes }) =>
  notes.map((n) => notes.some((o) => o !== n && Math.abs(o.at - n.at) < TOGETHER)),
);

const f = (v: number, digits = 2) => v.toFixed(digits);
const range = ([m, l, h]: readonly [number, number, number], digits = 2) =>
  `${f(m, digits)} [${f(l, digits)}, ${f(h, digits)}]`;

type Voice = (take: Recording) => readonly Stem[];
interface Row {
  readonly name: string;
  readonly mel: readonly (readonly number[])[];
  readonly fine: readonly (readonly number[])[];
}

function row(name: string, voice: Voice, equaliser: boolean): Row {
  let levels: Levels | null = null;
  const all = takes.map((take, t) => {
    let stems = voice(take);
    if (equaliser) {
      levels ??= fitted(take, stems);
      stems = equalised(stems, levels);
    }
    const rendered = mixed(take, stems, aligned(take, stems));
    if (folder !== undefined) {
      const peak = rendered.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
      const file = path.join(folder, `${t}-${name.replace(/[^a-z0-9]+/giu, '-')}.wav`);
      writeFileSync(
        file,
        writeWav(
          rendered.map((v) => (0.8 * v) / peak),
          RATE,
        ),
      );
    }
    const d = distances(take, rendered);
    const bias = (rows: readonly (readonly number[])[], n: number, digits: number) =>
      Array.from({ length: n }, (_, i) => f(median(rows.map((x) => x[i]!)), digits)).join(' ');
    console.log(
      `${name.padEnd(34)} mel ${range(interval(d.mel))}  fine ${range(interval(d.fine))}  decay bias (dB/s, up to ${DECAY_BANDS.join(', ')} Hz) ${bias(d.decay, 4, 0)}  centroid bias (octaves, from ${CENTROID_TIMES.slice(0, 4).join(', ')} s) ${bias(d.centroid, 4, 2)}`,
    );
    const attack = (chord: boolean) =>
      range(
        interval(
          d.centroid.map((x) => x[0]!).filter((_, i) => ofChord[t]![i] === chord),
          median,
        ),
      );
    console.log(
      `  over 4 kHz ${range(
        interval(
          d.decay.map((x) => x[3]!),
          median,
        ),
        0,
      )} dB/s; attack (30 ms) in chords ${attack(true)}, alone ${attack(false)} octaves`,
    );
    return d;
  });
  return { name, mel: all.map((d) => d.mel), fine: all.map((d) => d.fine) };
}

const steel: Voice = (take) => ours(take.notes, STANDARD_GUITAR, 'steel');
const mine = [row('ours', steel, false), row('ours + equaliser', steel, true)];
const missing = fontMissing();
if (missing !== null) console.log(`not compared with a font: ${missing}`);
else {
  const fonts: Row[] = [];
  for (const [program, word] of [
    [24, 'nylon'],
    [25, 'steel'],
  ] as const) {
    for (const velocity of [50, 80]) {
      const voice: Voice = (take) => font(take.notes, program, velocity);
      for (const equaliser of [false, true]) {
        const name = `font ${word}, velocity ${velocity}${equaliser ? ' + equaliser' : ''}`;
        fonts.push(row(name, voice, equaliser));
      }
    }
  }
  takes.forEach((_, t) => {
    const nearest = (key: 'mel' | 'fine', of: readonly Row[]) =>
      [...of].sort((a, b) => mean(a[key][t]!) - mean(b[key][t]!))[0]!;
    for (const key of ['mel', 'fine'] as const) {
      const a = nearest(key, mine);
      const b = nearest(key, fonts);
      const paired = a[key][t]!.map((v, i) => v - b[key][t]![i]!);
      console.log(`take ${t}, ${key}: ${a.name} less ${b.name} ${range(interval(paired))}`);
    }
  });
}
