import { playableFrets, reachMillimetres } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import type { Limits } from './limits';
import { isFretted, slideStart } from './places';
import type { FingerNote } from './problem';

/** A note that sounds, with the place it has. */
export interface Stop {
  readonly note: FingerNote;
  readonly string: number;
  readonly fret: number;
}

/** Lowest and highest fret pressed. */
export interface Span {
  readonly lo: number;
  readonly hi: number;
}

/** Highest number of frets the index finger lies below the highest stop, unless notes need more. */
export const FRAME = 4;

/** The frets pressed by the hand at one moment, a trill's upper one too; null when it presses none. */
export function frettedSpan(stops: readonly Stop[]): Span | null {
  let lo = Number.POSITIVE_INFINITY;
  let hi = 0;
  for (const s of stops) {
    if (s.note.kind !== 'stopped' || s.note.attack === 'tap') continue;
    const upper = s.note.trill === undefined ? s.fret : s.fret + s.note.trill;
    if (upper > hi) hi = upper;
    const lower = s.fret > 0 ? s.fret : upper;
    if (lower > 0 && lower < lo) lo = lower;
  }
  return hi === 0 ? null : { lo, hi };
}

/**
 * The frets the hand is over: those it presses, else the nodes it touches; null when it is free.
 * A harmonic touched while other strings are pressed does not bind the hand: a node may be reached
 * by the picking hand or by a finger laid flat, which the reach rule for pressed strings does not
 * describe.
 */
export function handSpan(stops: readonly Stop[]): Span | null {
  const pressed = frettedSpan(stops);
  if (pressed !== null) return pressed;
  const nodes = stops.filter((s) => s.note.kind === 'harmonic').map((s) => s.fret);
  return nodes.length === 0 ? null : { lo: Math.min(...nodes), hi: Math.max(...nodes) };
}

/**
 * Fewest fingers that can press these stops (N3). Notes at one fret share a finger laid across them
 * unless a string between them has to sound lower, open included; a trill's upper note takes one of
 * its own; the thumb is not counted.
 */
export function fingersNeeded(stops: readonly Stop[]): number {
  let fingers = 0;
  for (const s of stops) {
    if (s.note.kind === 'stopped' && s.note.trill !== undefined) fingers++;
    if (takesFinger(s) && !isUnderFingerOf(stops, s)) fingers++;
  }
  return fingers;
}

/** Whether one of the four fingers presses it. */
export function takesFinger(s: Stop): boolean {
  return isFretted(s.note, s.fret) && !s.note.thumb;
}

/** Whether the finger on the next string above at the same fret can press this one, too. */
export function isUnderFingerOf(stops: readonly Stop[], s: Stop): boolean {
  const above = nextOnFret(stops, s);
  return above !== null && !isBlocked(stops, above.string, s.string, s.fret);
}

/** The nearest stop with a lower string number at the same fret. */
function nextOnFret(stops: readonly Stop[], of: Stop): Stop | null {
  let best: Stop | null = null;
  for (const s of stops) {
    if (s.fret !== of.fret || s.string >= of.string || !takesFinger(s)) continue;
    if (best === null || s.string > best.string) best = s;
  }
  return best;
}

function isBlocked(stops: readonly Stop[], from: number, to: number, fret: number): boolean {
  return stops.some(
    (s) => s.string > from && s.string < to && s.note.kind !== 'dead' && s.fret < fret,
  );
}

/**
 * Largest distance in millimetres the hand has to reach at one moment (N1, N2): between the
 * outermost fretted notes, or at the start of a slide-in, between its starts and what is held.
 */
export function reachNeeded(
  instrument: Instrument,
  struck: readonly Stop[],
  held: readonly Stop[],
): number {
  const sounding = frettedSpan([...struck, ...held]);
  if (sounding === null) return 0;
  const mm = reachMillimetres(instrument, sounding.lo, sounding.hi);
  const starts: Stop[] = [];
  for (const s of struck) {
    const fret = slideStart(s.note, s.fret);
    if (fret !== null) starts.push({ ...s, fret });
  }
  if (starts.length === 0 || starts.length + held.length < 2) return mm;
  const before = frettedSpan([...starts, ...held]);
  return before === null ? mm : Math.max(mm, reachMillimetres(instrument, before.lo, before.hi));
}

/**
 * Frets at which the index finger may lie, both included. It lies at or below the lowest fret
 * pressed, at most four frets and the reach limit below the highest, and at the lowest fret itself
 * where the notes lie farther apart. A free hand may be anywhere.
 * @returns frets from 1, counted from the capo.
 */
export function handRange(
  instrument: Instrument,
  limits: Limits,
  span: Span | null,
): readonly [number, number] {
  if (span === null) return [1, Math.max(1, playableFrets(instrument))];
  const { lo, hi } = span;
  let from = lo;
  while (
    from > 1 &&
    hi - (from - 1) <= FRAME &&
    reachMillimetres(instrument, from - 1, hi) <= limits.reach
  )
    from--;
  const back = hi - lo <= 3 && lo < playableFrets(instrument);
  return [from, back ? lo + 1 : lo];
}
