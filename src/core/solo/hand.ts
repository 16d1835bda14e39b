import { type HandAt, handPath } from '../neck/positions';
import type { Phrase, Tempo, Ticks } from '../phrase/types';
import { secondsPerTick } from '../sound/perform';

/** A hand that goes further than so many frets in less time is in a hurry (*ours*). */
const FAR = 5;
const SECONDS = 0.2;

/** Where the hand begins and ends, and how often it has no time to get where it must be. */
export interface HandIn {
  readonly first: HandAt | null;
  readonly last: HandAt | null;
  readonly hurries: number;
}

/** The hand in a phrase as it is fingered, at a tempo. */
export function handIn(p: Phrase, tempo: Tempo): HandIn {
  const path = handPath(p);
  const hurries = path.filter((h, i) => i > 0 && hurriesTo(path[i - 1]!, h, 0, tempo)).length;
  return { first: path[0] ?? null, last: path.at(-1) ?? null, hurries };
}

/** Whether it has no time between two phrases, the second of which begins so much later than the first. */
export function hurriesBetween(a: HandIn, b: HandIn, later: Ticks, tempo: Tempo): boolean {
  return a.last !== null && b.first !== null && hurriesTo(a.last, b.first, later, tempo);
}

function hurriesTo(from: HandAt, to: HandAt, later: Ticks, tempo: Tempo): boolean {
  const seconds = (to.onset + later - from.onset) * secondsPerTick(tempo);
  return Math.abs(to.fret - from.fret) > FAR && seconds < SECONDS;
}
