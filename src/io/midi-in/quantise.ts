import { canFill, stepIn } from '../../core/phrase/tuplet';
import type { TupletRatio } from '../../core/phrase/tuplet-ratio';
import type { Ticks, Tuplet } from '../../core/phrase/types';
import { GRID } from '../../core/validity/rhythm';

/** How a beat may be divided, and what a finer division costs against its errors (ours). */
const DIVISIONS: readonly { readonly parts: number; readonly cost: number }[] = [
  { parts: 1, cost: 0 },
  { parts: 2, cost: 0.4 },
  { parts: 4, cost: 1 },
  { parts: 3, cost: 1.3 },
  { parts: 8, cost: 3 },
  { parts: 6, cost: 3 },
  { parts: 12, cost: 5 },
  { parts: 16, cost: 5 },
  { parts: 5, cost: 6 },
  { parts: 7, cost: 7 },
  { parts: 9, cost: 7.5 },
  { parts: 10, cost: 8 },
  { parts: 24, cost: 8 },
  { parts: 32, cost: 8 },
  { parts: 14, cost: 9 },
  { parts: 20, cost: 9 },
  { parts: 18, cost: 9.5 },
  { parts: 28, cost: 10 },
  { parts: 36, cost: 10.5 },
  { parts: 40, cost: 11 },
  { parts: 48, cost: 11 },
];

/** A moment to be put on the grid. */
export interface Loose {
  readonly at: number;
  /** An end weighs less than an onset: nobody hears exactly when a string is let go. */
  readonly weight: number;
}

export interface GridBeat {
  readonly at: Ticks;
  readonly end: Ticks;
  readonly parts: number;
}

/**
 * The division of every beat that fits its moments best: the sum of squared errors, counted in `sigma`,
 * and of what the division costs. A beat in three parts (dotted) has halves of those as well.
 * @param sigma Ticks by which a moment may lie beside its place: small for a file made by a program.
 * @param least Ticks of the finest part that is thought of; 0 for any that can be written.
 */
export function gridOf(
  beats: readonly { readonly at: Ticks; readonly end: Ticks }[],
  moments: readonly Loose[],
  sigma: number,
  least = 0,
): readonly GridBeat[] {
  const sorted = [...moments].sort((a, b) => a.at - b.at);
  let from = 0;
  return beats.flatMap((beat) => {
    while (from < sorted.length && sorted[from]!.at < beat.at - sigma) from += 1;
    const own: Loose[] = [];
    for (let i = from; i < sorted.length && sorted[i]!.at < beat.end + sigma; i++)
      own.push(sorted[i]!);
    return best(beat, own, { sigma, least }).beats;
  });
}

/** What it costs that the halves of a beat are divided each for itself (ours). */
const HALVED = 2;
/** Halves of halves, no further. */
const DEPTH = 2;

function best(beat: Span, own: readonly Loose[], o: Exactness, depth = 0): Division {
  // A long rest or a note far off has thousands of beats in which nothing happens.
  if (own.length === 0) return { cost: 0, beats: [{ ...beat, parts: 1 }] };
  const { sigma, least } = o;
  const length = beat.end - beat.at;
  let parts = 1;
  let cost = Number.POSITIVE_INFINITY;
  for (const d of divisionsOf(length)) {
    const unit = length / d.parts;
    if (d.parts > 1 && unit < least) continue;
    let sum = d.cost;
    for (const m of own) {
      const off = (m.at - beat.at) / unit;
      const error = ((off - Math.round(off)) * unit) / sigma;
      sum += m.weight * error * error;
      if (sum >= cost) break;
    }
    if (sum < cost) [parts, cost] = [d.parts, sum];
  }
  const whole = { cost, beats: [{ ...beat, parts }] };
  if (depth >= DEPTH || cost < HALVED + 1) return whole;
  const halved = inHalves(beat, own, o, depth);
  return halved !== null && halved.cost < cost ? halved : whole;
}

/** A beat of which each half is divided for itself; null where it has none that can be written. */
function inHalves(beat: Span, own: readonly Loose[], o: Exactness, depth: number): Division | null {
  const { sigma } = o;
  const length = beat.end - beat.at;
  if (!isBinary(length) || length / 2 < 8 * GRID) return null;
  const middle = beat.at + length / 2;
  const first = { at: beat.at, end: middle };
  const second = { at: middle, end: beat.end };
  const one = best(
    first,
    own.filter((m) => m.at < middle - sigma),
    o,
    depth + 1,
  );
  const two = best(
    second,
    own.filter((m) => m.at >= middle - sigma),
    o,
    depth + 1,
  );
  return { cost: one.cost + two.cost + HALVED, beats: [...one.beats, ...two.beats] };
}

/** Ticks by which a moment may lie beside its place, and of the finest part that is thought of. */
export interface Exactness {
  readonly sigma: number;
  readonly least: number;
}

interface Span {
  readonly at: Ticks;
  readonly end: Ticks;
}

/** A way to divide a beat, and what it costs against its errors. */
export interface Division {
  readonly cost: number;
  readonly beats: readonly GridBeat[];
}

/** All that `gridOf` chooses from for one beat: whole in so many parts, and halved. */
export function divisionsFor(
  beat: Span,
  own: readonly Loose[],
  { sigma, least }: Exactness,
): readonly Division[] {
  const length = beat.end - beat.at;
  const whole = divisionsOf(length).flatMap((d): Division[] => {
    const unit = length / d.parts;
    if (d.parts > 1 && unit < least) return [];
    const cost = own.reduce((sum, m) => {
      const off = (m.at - beat.at) / unit;
      return sum + m.weight * (((off - Math.round(off)) * unit) / sigma) ** 2;
    }, d.cost);
    return [{ cost, beats: [{ ...beat, parts: d.parts }] }];
  });
  const halved = inHalves(beat, own, { sigma, least }, 0);
  return halved === null ? whole : [...whole, halved];
}

/** The beats up to the end of the phrase; one that it cuts in pieces that have values of their own. */
export function cutBeats(beats: readonly Span[], length: Ticks): readonly Span[] {
  return beats.flatMap((b): Span[] => {
    if (b.end <= length) return [b];
    const pieces: Span[] = [];
    let at = b.at;
    for (let size = 64 * GRID; size >= GRID; size /= 2) {
      while (at + size <= length) {
        pieces.push({ at, end: at + size });
        at += size;
      }
    }
    return pieces;
  });
}

/** Divisions whose parts can be written: binary ones down to the 128th, others as tuplets of it. */
function divisionsOf(length: Ticks): readonly Way[] {
  const known = KNOWN.get(length) ?? findDivisions(length);
  KNOWN.set(length, known);
  return known;
}

/** A beat has one of a dozen lengths, and there are thousands of beats. */
const KNOWN = new Map<Ticks, readonly Way[]>();

type Way = (typeof DIVISIONS)[number];

function findDivisions(length: Ticks): readonly Way[] {
  if (isBinary(length)) {
    return DIVISIONS.filter(({ parts }) => {
      const t = tupletOf(parts);
      return t === null
        ? length / parts >= GRID
        : canFill(t, length) && length / parts >= stepIn(t);
    });
  }
  // A dotted beat: thirds are its own division, and they are halved.
  return [
    { parts: 1, cost: 0 },
    { parts: 3, cost: 0.4 },
    { parts: 6, cost: 1 },
    { parts: 12, cost: 3 },
    { parts: 24, cost: 5 },
    { parts: 48, cost: 8 },
  ].filter(({ parts }) => length / parts >= GRID);
}

function isBinary(length: Ticks): boolean {
  return Number.isInteger(Math.log2(length / GRID));
}

/** The tuplet that a division needs; null for a binary one. */
function tupletOf(parts: number): TupletRatio | null {
  if (parts % 9 === 0) return { actual: 9, normal: 8 };
  if (parts % 7 === 0) return { actual: 7, normal: 4 };
  if (parts % 5 === 0) return { actual: 5, normal: 4 };
  if (parts % 3 === 0) return { actual: 3, normal: 2 };
  return null;
}

/** The tuplets that a grid needs. */
export function tupletsOf(grid: readonly GridBeat[], from: Ticks, to: Ticks): readonly Tuplet[] {
  return grid.flatMap((b): Tuplet[] => {
    const length = b.end - b.at;
    const ratio = tupletOf(b.parts);
    if (!isBinary(length) || ratio === null) return [];
    if (b.at < from || b.end > to) return [];
    return [{ onset: b.at, duration: length, ...ratio }];
  });
}

/** The place of a moment on the grid. */
export function placed(grid: readonly GridBeat[], at: number): Ticks {
  const beat = beatAround(grid, at);
  if (beat === undefined) return Math.round(at / GRID) * GRID;
  const unit = (beat.end - beat.at) / beat.parts;
  return beat.at + Math.round(Math.round((at - beat.at) / unit) * unit);
}

/** The first place of the grid past another. */
export function placeAfter(grid: readonly GridBeat[], place: Ticks): Ticks {
  const beat = beatAround(grid, place);
  if (beat === undefined) return place + GRID;
  const unit = (beat.end - beat.at) / beat.parts;
  return beat.at + Math.round((Math.round((place - beat.at) / unit) + 1) * unit);
}

function beatAround(grid: readonly GridBeat[], at: number): GridBeat | undefined {
  let low = 0;
  let high = grid.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (grid[middle]!.at <= at) low = middle;
    else high = middle - 1;
  }
  return grid[low];
}
