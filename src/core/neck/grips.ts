import { reachMillimetres } from '../phrase/instrument';
import { gripCost } from './costs';
import { fingersNeeded, frettedSpan, handRange, handSpan, reachNeeded, type Stop } from './hand';
import { placesFor } from './places';
import type { FingeringProblem, FingerNote, Moment } from './problem';
import type { Weights } from './weights';

/**
 * Every way to sound one moment, packed for the search. A *grip* gives each of the moment's notes
 * (struck, then held, then ringing) a place; a *state* is a grip with an index-finger fret. The
 * states of grip g are numbered `first[g]` to `first[g + 1] − 1`, for index-finger frets from
 * `hand[g]` up.
 */
export interface Grips {
  readonly count: number;
  /** Notes in each grip. */
  readonly width: number;
  /** String of note k in grip g at g · width + k. */
  readonly strings: Int8Array;
  readonly frets: Int8Array;
  /** Mean string number of what is struck. */
  readonly mean: Float64Array;
  readonly hand: Int16Array;
  /** Whether the grip says where the hand lies: 1 where anything struck or held is pressed or touched. */
  readonly bound: Uint8Array;
  readonly first: Int32Array;
  /** What each state costs by itself. */
  readonly cost: Float64Array;
  /** Lowest and highest index-finger fret of all states. */
  readonly lowest: number;
  readonly highest: number;
}

/** Every grip that breaks no hard rule, with what each costs by itself (N3, N4). */
export function gripsFor(problem: FingeringProblem, m: Moment, w: Weights): Grips {
  const { instrument, limits } = problem;
  const numbers = [...m.struck, ...m.held, ...m.ringing];
  const notes = numbers.map((i) => problem.notes[i]!);
  const places = notes.map((n) => placesFor(instrument, limits, n));
  const sounding = m.struck.length + m.held.length;
  const found: Stop[][] = [];
  const chosen: Stop[] = [];
  const extend = (k: number): void => {
    if (k === sounding && !isLegal(problem, m.struck.length, chosen)) return;
    if (k === notes.length) {
      found.push([...chosen]);
      return;
    }
    for (const p of places[k]!) {
      if (k < sounding && chosen.some((s) => s.string === p.string)) continue;
      chosen.push({ note: notes[k]!, string: p.string, fret: p.fret });
      if (k >= sounding || isInReach(problem, chosen)) extend(k + 1);
      chosen.pop();
    }
  };
  extend(0);
  return pack(problem, m, w, notes, found);
}

function isInReach(problem: FingeringProblem, stops: readonly Stop[]): boolean {
  const span = frettedSpan(stops);
  if (span === null) return true;
  return reachMillimetres(problem.instrument, span.lo, span.hi) <= problem.limits.reach;
}

function isLegal(problem: FingeringProblem, struck: number, stops: readonly Stop[]): boolean {
  if (fingersNeeded(stops) > problem.limits.fingers) return false;
  const reach = reachNeeded(problem.instrument, stops.slice(0, struck), stops.slice(struck));
  return reach <= problem.limits.reach;
}

function pack(
  problem: FingeringProblem,
  m: Moment,
  w: Weights,
  notes: readonly FingerNote[],
  found: readonly (readonly Stop[])[],
): Grips {
  const count = found.length;
  const width = notes.length;
  const strings = new Int8Array(count * width);
  const frets = new Int8Array(count * width);
  const mean = new Float64Array(count);
  const hand = new Int16Array(count);
  const bound = new Uint8Array(count);
  const first = new Int32Array(count + 1);
  const cost: number[] = [];
  let lowest = Number.POSITIVE_INFINITY;
  let highest = 0;
  const held = m.struck.length + m.held.length;
  found.forEach((stops, g) => {
    stops.forEach((s, k) => {
      strings[g * width + k] = s.string;
      frets[g * width + k] = s.fret;
    });
    const grip = {
      struck: stops.slice(0, m.struck.length),
      held: stops.slice(m.struck.length, held),
      ringing: stops.slice(held),
    };
    mean[g] = grip.struck.reduce((t, s) => t + s.string, 0) / grip.struck.length;
    const span = handSpan(stops.slice(0, held));
    const [from, to] = handRange(problem.instrument, problem.limits, span);
    hand[g] = from;
    bound[g] = span === null ? 0 : 1;
    for (let h = from; h <= to; h++) {
      const c = gripCost(problem, w, grip, h);
      cost.push(c.reach + c.open + c.region + c.bend + c.fingers + c.ring);
    }
    first[g + 1] = cost.length;
    if (from < lowest) lowest = from;
    if (to > highest) highest = to;
  });
  const packed = Float64Array.from(cost);
  return { count, width, strings, frets, mean, hand, bound, first, cost: packed, lowest, highest };
}
