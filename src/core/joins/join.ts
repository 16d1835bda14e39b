import { mod } from '../theory/pitch';
import { echo } from './echo';
import { longestQuote } from './quote';
import type { Sketch } from './sketch';
import { AFTER_TWO_WEIGHTS, JOIN_WEIGHTS, type JoinFeatures } from './weights';

/** Steps within a major third over the rest cost nothing. */
const FREE_LEAP = 4;

/** What a leap over the rest counts as: octaves beyond what costs nothing. */
export function leapOver(semitones: number): number {
  return Math.max(0, Math.abs(semitones) - FREE_LEAP) / 12;
}

/** 1 for a step of one or two semitones, else 0. */
export function isStep(semitones: number): 0 | 1 {
  const leap = Math.abs(semitones);
  return leap === 1 || leap === 2 ? 1 : 0;
}

/** A quoted run of so many notes is as good as any longer one. */
const QUOTE = 6;

/** What two lines have in common in whatever octave the second of them is. */
export type ShapeFeatures = Pick<
  JoinFeatures,
  'cadence' | 'echo' | 'figures' | 'cells' | 'pulse' | 'density' | 'length'
>;

/** Of `JoinFeatures` those that stay where the phrase is moved. */
export function shapeFeatures(before: Sketch, phrase: Sketch): ShapeFeatures {
  let pulse = 0;
  for (let i = 0; i < 4; i++) pulse += Math.abs(phrase.pace[i]! - before.pace[i]!) / 2;
  return {
    cadence: cadence(before, phrase),
    echo: echo(before, phrase),
    figures: shareIn(before.hasFigure, phrase.figures),
    cells: shareIn(before.hasCell, phrase.cells),
    pulse,
    density: doublings(phrase.density, before.density),
    length: doublings(phrase.span, before.span),
  };
}

/**
 * @param before The phrase before.
 * @param phrase The phrase that follows.
 * @param semitones How far it is moved, all of it.
 * @param earlier The phrase before the one before, where there is one.
 * @param semitonesEarlier How far the phrase is moved against that one.
 * @param shape What of it is known already.
 */
export function joinFeatures(
  before: Sketch,
  phrase: Sketch,
  semitones = 0,
  earlier: Sketch | null = null,
  semitonesEarlier = semitones,
  shape = shapeFeatures(before, phrase),
): JoinFeatures {
  const n = phrase.midi.length;
  let heard = 0;
  // Written out: 'of' goes by an iterator.
  for (let i = 0; i < n; i++) heard += before.heard[phrase.midi[i]! + semitones] ?? 0;
  const first = phrase.midi[0]! + semitones;
  const last = before.midi[before.midi.length - 1]!;
  const leap = first - last;
  return {
    leap: leapOver(leap),
    near: isStep(leap),
    lands: phrase.midi[n - 1]! + semitones === last ? 1 : 0,
    cadence: shape.cadence,
    beginsAlike: earlier === null ? 0 : beginsAlike(earlier, phrase, semitonesEarlier),
    register: Math.abs(phrase.head + semitones - before.tail) / 12,
    peak: Math.abs(phrase.highest + semitones - before.highest) / 12,
    floor: Math.abs(phrase.lowest + semitones - before.lowest) / 12,
    pitches: heard / n,
    newTones: newTones(before, earlier, phrase, semitones),
    // What has no pitch in common quotes none.
    quotes: heard === 0 ? 0 : quoted(before, phrase, semitones),
    quotesEarlier: earlier === null ? 0 : quoted(earlier, phrase, semitonesEarlier),
    echo: shape.echo,
    figures: shape.figures,
    figuresEarlier: earlier === null ? 0 : shareIn(earlier.hasFigure, phrase.figures),
    cells: shape.cells,
    pulse: shape.pulse,
    density: shape.density,
    densityEarlier: earlier === null ? 0 : doublings(phrase.density, earlier.density),
    length: shape.length,
  };
}

const quoted = (from: Sketch, phrase: Sketch, semitones: number) =>
  Math.min(1, longestQuote(from, phrase, semitones) / QUOTE);

const beginsAlike = (earlier: Sketch, phrase: Sketch, semitones: number) =>
  phrase.midi[0]! + semitones === earlier.midi[0] ? 1 : 0;

/** Steps from the end that are compared. */
const CLOSE = 4;

function cadence(before: Sketch, { intervals }: Sketch): number {
  const [m, n] = [before.intervals.length, intervals.length];
  let k = 0;
  while (k < CLOSE && k < m && k < n && before.intervals[m - 1 - k] === intervals[n - 1 - k]) k++;
  return k / CLOSE;
}

const doublings = (a: number, b: number) => Math.abs(Math.log2(a / b));

function shareIn(heard: ReadonlySet<number>, figures: Int32Array): number {
  let found = 0;
  for (let i = 0; i < figures.length; i++) if (heard.has(figures[i]!)) found++;
  return figures.length === 0 ? 0 : found / figures.length;
}

/** Of `JoinFeatures`; the phrases before are moved by whole octaves, if at all. */
export function newTones(
  before: Sketch,
  earlier: Sketch | null,
  b: Sketch,
  semitones: number,
): number {
  const heard = before.toneBits | (earlier?.toneBits ?? 0);
  const up = mod(semitones, 12);
  // What was heard, as far below as the phrase is moved up.
  const fresh = b.toneBits & ~((heard >> up) | (heard << (12 - up)));
  let sum = 0;
  // From the lowest bit to the highest.
  for (let left = fresh & 0xfff; left !== 0; left &= left - 1) {
    sum += b.tones[31 - Math.clz32(left & -left)]!;
  }
  return sum;
}

/**
 * The larger, the better: over chords, −1.8 for the median of phrases taken at random and −0.2 for those
 * that really followed (`README.md`).
 * @param w Those for a join of which the phrase before the one before is not looked at, where absent.
 * @param fresh Taken for `newTones`.
 */
export function joinScore(
  f: JoinFeatures,
  w: JoinFeatures = JOIN_WEIGHTS,
  fresh = f.newTones,
): number {
  // Written out: this is the innermost of every proposal.
  return (
    w.leap * f.leap +
    w.near * f.near +
    w.lands * f.lands +
    w.cadence * f.cadence +
    w.beginsAlike * f.beginsAlike +
    w.register * f.register +
    w.peak * f.peak +
    w.floor * f.floor +
    w.pitches * f.pitches +
    w.newTones * fresh +
    w.quotes * f.quotes +
    w.quotesEarlier * f.quotesEarlier +
    w.echo * f.echo +
    w.figures * f.figures +
    w.figuresEarlier * f.figuresEarlier +
    w.cells * f.cells +
    w.pulse * f.pulse +
    w.density * f.density +
    w.densityEarlier * f.densityEarlier +
    w.length * f.length
  );
}

/** Score of a join in one go. */
export function join(before: Sketch, phrase: Sketch, semitones = 0, earlier: Sketch | null = null) {
  const f = joinFeatures(before, phrase, semitones, earlier);
  return joinScore(f, earlier === null ? JOIN_WEIGHTS : AFTER_TWO_WEIGHTS);
}

/**
 * What the phrase before the one before gives a join with the phrase alone: of `joinScore` with
 * `AFTER_TWO_WEIGHTS` all of its features but `newTones`, which hangs on all three.
 */
export function earlierScore(earlier: Sketch, phrase: Sketch, semitones = 0): number {
  const w = AFTER_TWO_WEIGHTS;
  return (
    w.beginsAlike * beginsAlike(earlier, phrase, semitones) +
    w.quotesEarlier * quoted(earlier, phrase, semitones) +
    w.figuresEarlier * shareIn(earlier.hasFigure, phrase.figures) +
    w.densityEarlier * doublings(phrase.density, earlier.density)
  );
}
