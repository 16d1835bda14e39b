/**
 * How well 'more like this' finds a melody that was moved and varied, among many:
 *
 *     npx tsx tests/scripts/alike.ts [SIZE = 100000] [QUERIES a kind = 400] [SCANNED a kind = 25]
 *
 * The library: the samples, phrases of real solos (refs/data/wjazzd where it lies beside the repository;
 * Weimar Jazz Database by M. Pfleiderer, K. Frieler and others, for tests only), generated phrases, and,
 * to make it hard, melodies spliced of the first part of one and the last part of another. Queries are
 * melodies of the first three kinds with six notes at least, moved to another pitch and varied. Beside it
 * plain edit distance of the steps over everything, of which an equal at the lowest distance counts as found.
 * Times are those of the processor.
 */
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { AlikeIndex } from '../../src/core/search/alike/alike';
import { unlikeness } from '../../src/core/search/alike/distance';
import { type AlikeLine, alikeLine, MOST_NOTES } from '../../src/core/search/alike/line';
import { sheetOf } from '../../src/core/search/catalogue/sheet';
import { Dice } from '../support/generate/dice';
import { cpuTime, libraryPhrase, ms, quantile } from '../support/many';
import { readSamples } from '../support/samples';

const size = Number(process.argv[2] ?? 100_000);
const queries = Number(process.argv[3] ?? 400);
const scanned = Number(process.argv[4] ?? 25);
const GENERATED = Math.min(15_000, size >> 1);

interface Note {
  pitch: number;
  onset: number;
  duration: number;
  degree: number;
}

const lines: AlikeLine[] = readSamples().map((s) => alikeLine(sheetOf(s.phrase)));
const samples = lines.length;
lines.push(...realLines());
const real = lines.length - samples;
for (let i = 0; i < GENERATED; i++) lines.push(alikeLine(sheetOf(libraryPhrase(i))));
const whole = lines.length;
const d = new Dice(1, 920);
while (lines.length < size) {
  const [a, b] = [notesOf(lines[d.int(0, whole - 1)]!), notesOf(lines[d.int(0, whole - 1)]!)];
  const [head, tail] = [a.slice(0, (a.length + 1) >> 1), b.slice(b.length >> 1)];
  const [from, to] = [tail[0]?.onset ?? 0, a[head.length]?.onset ?? 0];
  lines.push(lineOf([...head, ...tail.map((n) => ({ ...n, onset: n.onset - from + to }))]));
}

globalThis.gc?.();
const memory = process.memoryUsage();
const start = cpuTime();
const index = new AlikeIndex();
for (const [i, line] of lines.entries()) index.put(i, line);
const after = process.memoryUsage();
console.log(
  `${lines.length} melodies (${samples} samples, ${real} of real solos, ${GENERATED} generated, the rest spliced):`,
  `index built in ${ms(cpuTime() - start)},`,
  `${((after.arrayBuffers - memory.arrayBuffers) / 2 ** 20).toFixed(0)} MiB of lists`,
);

const VARIATIONS: readonly [name: string, count: number, vary: (n: Note[], i: number) => void][] = [
  ['transposed', 0, () => undefined],
  ['two notes changed', 2, (n, i) => changePitch(n[i]!)],
  ['three notes changed', 3, (n, i) => changePitch(n[i]!)],
  ['three notes ornamented', 3, ornament],
  ['three notes shifted', 3, shift],
];

for (const [name, count, vary] of VARIATIONS) {
  const times: number[] = [];
  const scans: number[] = [];
  let [asked, first, five, byScan, firstScanned] = [0, 0, 0, 0, 0];
  while (asked < queries) {
    const original = d.chance(0.5) ? d.int(0, samples + real - 1) : d.int(0, whole - 1);
    const notes = notesOf(lines[original]!);
    if (notes.length < 6) continue;
    // From the last, since an ornament is a note more.
    for (const i of places(notes, count).reverse()) vary(notes, i);
    const by = d.int(1, 11) * (d.chance(0.5) ? 1 : -1);
    const line = lineOf(notes.map((n) => ({ ...n, pitch: n.pitch + by })));
    const from = cpuTime();
    const found = index.find(line, 10);
    times.push(cpuTime() - from);
    const same = (n: number) => n === original || unlikeness(lines[n]!, lines[original]!) === 0;
    const isFirst = found.length > 0 && same(found[0]!.number);
    asked++;
    first += Number(isFirst);
    five += Number(found.slice(0, 5).some((f) => same(f.number)));
    if (asked > scanned) continue;
    firstScanned += Number(isFirst);
    const begin = cpuTime();
    const steps = stepsOf(line);
    let least = Number.POSITIVE_INFINITY;
    for (const other of lines) least = Math.min(least, edits(steps, stepsOf(other), least));
    byScan += Number(edits(steps, stepsOf(lines[original]!), least + 1) <= least);
    scans.push(cpuTime() - begin);
  }
  times.sort((a, b) => a - b);
  scans.sort((a, b) => a - b);
  const percent = (n: number, of: number) => `${((100 * n) / of).toFixed(1)}%`;
  console.log(
    `${name}: first ${percent(first, asked)}, among five ${percent(five, asked)};`,
    `median ${ms(quantile(times, 0.5))}, p95 ${ms(quantile(times, 0.95))};`,
    `edit distance over all ${percent(byScan, scanned)} of ${scanned} (index ${percent(firstScanned, scanned)}),`,
    `median ${ms(quantile(scans, 0.5))}`,
  );
}

/** Each note lasts until the next. */
function notesOf({ pitches, degrees, onsets }: AlikeLine): Note[] {
  return Array.from(pitches, (pitch, i) => ({
    pitch,
    onset: onsets[i]!,
    duration: onsets[i + 1]! - onsets[i]!,
    degree: degrees[i]!,
  }));
}

function lineOf(all: readonly Note[]): AlikeLine {
  const notes = all.slice(0, MOST_NOTES);
  const start = notes[0]?.onset ?? 0;
  const last = notes.at(-1);
  const end = last === undefined ? 0 : last.onset + last.duration;
  return {
    pitches: notes.map((n) => n.pitch),
    degrees: notes.map((n) => n.degree),
    onsets: [...notes.map((n) => n.onset), end].map((t) => t - start),
  };
}

/** Different places, ascending. */
function places(notes: readonly Note[], count: number): number[] {
  const chosen = new Set<number>();
  while (chosen.size < count) chosen.add(d.int(0, notes.length - 1));
  return [...chosen].sort((a, b) => a - b);
}

function changePitch(n: Note): void {
  n.pitch += d.int(1, 4) * (d.chance(0.5) ? 1 : -1);
  n.degree = (n.degree + d.int(1, 30)) % 35;
}

/** A turn by a neighbour in the second half of the note. */
function ornament(notes: Note[], i: number): void {
  const n = notes[i]!;
  const end = notes[i + 1]?.onset ?? n.onset + n.duration;
  const half = Math.max(1, (end - n.onset) >> 1);
  const rise = d.pick([-2, -1, 1, 2]);
  n.duration = half;
  notes.splice(i + 1, 0, {
    pitch: n.pitch + rise,
    onset: n.onset + half,
    duration: half,
    degree: (n.degree + 5) % 35,
  });
}

/** Later by half of the time to the next note. */
function shift(notes: Note[], i: number): void {
  const n = notes[i]!;
  const end = notes[i + 1]?.onset ?? n.onset + n.duration;
  n.onset += (end - n.onset) >> 1;
}

function stepsOf({ pitches }: AlikeLine): readonly number[] {
  return Array.from(pitches)
    .slice(1)
    .map((p, i) => p - pitches[i]!);
}

/** Edit distance after V. Levenshtein, given up above `most`. */
function edits(a: readonly number[], b: readonly number[], most: number): number {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = row[j - 1]! + Number(a[i - 1] !== b[j - 1]);
      next.push(Math.min(same, row[j]! + 1, next[j - 1]! + 1));
    }
    if (Math.min(...next) > most) return most + 1;
    row = next;
  }
  return row[b.length]!;
}

/** Phrases of real solos; degrees as semitones over the root of the chord. */
function realLines(): AlikeLine[] {
  const folder = path.resolve(import.meta.dirname, '../../../shared/refs/data/wjazzd');
  if (!existsSync(folder)) return [];
  const table = (name: string) =>
    readFileSync(path.join(folder, `${name}.tsv`), 'utf8')
      .trimEnd()
      .split('\n')
      .map((l) => l.split('\t'));
  const [head = [], ...solos] = table('solos');
  const lanes = new Map(
    solos.map((s) => [
      s[head.indexOf('solo')],
      s[head.indexOf('lane')]!.split(' ').map((x) => {
        const [beat, symbol = 'C'] = x.split(/:(.*)/u);
        const root = ({ C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 } as Record<string, number>)[
          symbol[0]!
        ];
        const alter = symbol[1] === '#' ? 1 : symbol[1] === 'b' ? -1 : 0;
        return { at: Number(beat) * 48, root: (root ?? 0) + alter };
      }),
    ]),
  );
  return table('phrases')
    .slice(1)
    .map(([solo, , start, notes]) => {
      const lane = lanes.get(solo) ?? [];
      let onset = Number(start);
      return lineOf(
        notes!.split(' ').map((x) => {
          const [later, length, pitch] = x.split(',').map(Number) as [number, number, number];
          onset += later;
          const root = lane.filter((c) => c.at <= onset).at(-1)?.root ?? 0;
          const degree = (pitch - root + 120) % 12;
          return { pitch, onset: onset * 210, duration: length * 210, degree };
        }),
      );
    });
}
