import { openMidi, reachMillimetres } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import { fingersNeeded, handSpan, type Stop } from './hand';
import { isFretted } from './places';
import type { Fingering, FingeringProblem, Moment, Neighbour } from './problem';
import { type FingeringStyle, type Weights, weightsFor } from './weights';

/** The parts of a fingering's cost. */
export const COST_NAMES = [
  'shift',
  'reach',
  'crossing',
  'open',
  'region',
  'bend',
  'fingers',
  'ring',
] as const;

export type CostName = (typeof COST_NAMES)[number];

export type CostParts = Readonly<Record<CostName, number>>;

const FIRST_STIFF_FRET = 7;
const FIRST_PULLED_STRING = 3;
const NATURAL_OPEN_HAND = 2;

/** The sounding and ringing notes of a moment at their places. */
export interface Grip {
  readonly struck: readonly Stop[];
  readonly held: readonly Stop[];
  readonly ringing: readonly Stop[];
}

/** Where a pitch is at home: on the middle strings, so nearly a fret further for every two semitones. */
export function homeFret(instrument: Instrument, midi: number): number {
  let open = 0;
  for (let s = 1; s <= instrument.tuning.length; s++) open += openMidi(instrument, s);
  return Math.min(13, Math.max(1, 0.5 + 0.45 * (midi - open / instrument.tuning.length)));
}

/** What one moment costs by itself, with the index finger at fret `hand`. */
export function gripCost(
  problem: Pick<FingeringProblem, 'instrument'>,
  w: Weights,
  grip: Grip,
  hand: number,
): Omit<CostParts, 'shift' | 'crossing'> {
  const down = [...grip.struck, ...grip.held];
  const span = handSpan(down);
  let reach = 0;
  let region = 0;
  if (span !== null) {
    const mm = reachMillimetres(problem.instrument, Math.min(hand, span.lo), span.hi);
    reach += w.reach * Math.max(0, (mm - w.reachFrom) / 10);
    reach += w.stretch * Math.max(0, span.hi - (hand + 3));
    reach += w.back * Math.max(0, hand - span.lo);
    if (w.home > 0) {
      let off = 0;
      let n = 0;
      for (const s of grip.struck)
        if (s.note.kind === 'stopped') {
          off += Math.abs(hand - homeFret(problem.instrument, s.note.midi));
          n++;
        }
      if (n > 0) region += (w.home * off) / n;
    }
    region += w.high * Math.max(0, hand - w.highAbove);
  }
  let open = 0;
  let bend = 0;
  for (const s of grip.struck) {
    // Evidence of the string; see `FingerNote`.
    region += s.note.stringCosts?.[s.string - 1] ?? 0;
    if (s.note.kind === 'stopped' && s.fret === 0 && !s.note.heldUnder)
      open +=
        openCost(w, grip.struck.length, hand) + w.openHigh * Math.max(0, hand - NATURAL_OPEN_HAND);
    if (s.note.bend !== undefined)
      bend +=
        s.note.bend *
        (w.bendStiff * Math.max(0, FIRST_STIFF_FRET - s.fret) +
          w.bendPulled * Math.max(0, s.string - FIRST_PULLED_STRING) +
          (w.bendAlone * Math.max(0, 2 - Math.max(0, s.fret - hand))) / 2);
  }
  const holding = grip.held.filter((s) => isFretted(s.note, s.fret)).length;
  const fingers =
    w.finger * Math.max(0, fingersNeeded(down) - 1) +
    w.hold * holding +
    w.gap * gapsIn(grip.struck);
  let cut = 0;
  for (const s of grip.ringing) {
    // The same place struck again renews what rings and cuts nothing off.
    const over = grip.struck.some((x) => x.string === s.string && x.fret !== s.fret);
    const left =
      s.note.kind === 'stopped' && s.fret > 0 && (s.fret < hand - 1 || s.fret > hand + 4);
    if (over || left) cut++;
  }
  return { reach, region, open, bend, fingers, ring: w.ringCut * cut };
}

/** Power chords and triads are moved and muted by the hand that lets go, at the nut as well. */
const MOVABLE_SHAPE = 3;

/** What an open string costs among so many struck together, where the hand lies being near. */
function openCost(w: Weights, struck: number, hand: number): number {
  if (struck > 4) return w.openFull;
  return hand > NATURAL_OPEN_HAND || struck === MOVABLE_SHAPE ? w.open : w.openNut;
}

/** Strings left out between the lowest and the highest that are struck together; a drone is struck apart. */
export function gapsIn(struck: readonly Stop[]): number {
  let lo = Number.POSITIVE_INFINITY;
  let hi = 0;
  let count = 0;
  for (const { note, string } of struck) {
    if (note.heldUnder) continue;
    lo = Math.min(lo, string);
    hi = Math.max(hi, string);
    count++;
  }
  return count < 2 ? 0 : hi - lo + 1 - count;
}

/** How much harder a change of position is for the time there is: 1 without hurry. */
export function hurryFactor(w: Weights, seconds: number): number {
  return 1 + w.hurry * Math.min(4, 0.25 / Math.max(seconds, 0.001));
}

/** Cost of striking strings whose mean number differs by `strings`. */
export function crossingCost(w: Weights, strings: number): number {
  return w.cross * strings + w.skip * Math.max(0, strings - 1);
}

/** Cost of a change of position by so many frets, before the factor for time and slides. */
export function shiftCost(w: Weights, frets: number): number {
  return frets === 0 ? 0 : w.shift + w.shiftFret * frets;
}

/** What joins a moment to a neighbour outside the problem: a change of position and a crossing. */
export function neighbourCost(
  w: Weights,
  neighbour: Neighbour,
  hand: number,
  mean: number,
): { readonly shift: number; readonly crossing: number } {
  const way = shiftCost(w, Math.abs(hand - neighbour.hand));
  return {
    shift: way * hurryFactor(w, neighbour.seconds),
    crossing:
      neighbour.strings === undefined ? 0 : crossingCost(w, Math.abs(mean - neighbour.strings)),
  };
}

/** Whether a slide carries the hand into this moment. */
export function isSlidInto(problem: FingeringProblem, m: Moment): boolean {
  return m.struck.some((i) => {
    const kind = problem.notes[i]!.link?.kind;
    return kind === 'slide' || kind === 'slide-plucked';
  });
}

/** What one moment of a complete fingering costs, with where it stands. */
export interface MomentCost {
  readonly moment: Moment;
  readonly grip: Grip;
  /** Where the hand was before: null for the first moment, where nothing says where it comes from. */
  readonly from: number | null;
  readonly hand: number;
  readonly parts: CostParts;
}

/**
 * The cost of a complete fingering moment by moment, worked out from its places and hand positions
 * alone. The way in belongs to the first moment, the way out (`after`) to the last.
 * @throws RangeError when a note has no place or a moment no hand position (programmer's error).
 */
export function momentCosts(
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
  style: FingeringStyle = problem.style,
): readonly MomentCost[] {
  const w = weightsFor(style, problem.instrument);
  const stops = (indices: readonly number[]): Stop[] =>
    indices.map((i) => {
      const note = problem.notes[i]!;
      const place = fingering.places.get(note.id);
      if (place === undefined) throw new RangeError(`note ${note.id} has no place`);
      return { note, string: place.string, fret: place.fret };
    });
  const last = problem.moments.length - 1;
  let from: number | null = problem.before?.hand ?? null;
  let lastMean = 0;
  return problem.moments.map((moment, i) => {
    const hand = fingering.handPositions[i];
    if (hand === undefined) throw new RangeError(`moment ${i} has no hand position`);
    const grip = {
      struck: stops(moment.struck),
      held: stops(moment.held),
      ringing: stops(moment.ringing),
    };
    const mean = grip.struck.reduce((t, s) => t + s.string, 0) / grip.struck.length;
    let shift = 0;
    let crossing = 0;
    if (i > 0) {
      const carried = isSlidInto(problem, moment) ? w.slideShift : 1;
      shift = shiftCost(w, Math.abs(hand - from!)) * carried * hurryFactor(w, moment.seconds);
      crossing = crossingCost(w, Math.abs(mean - lastMean));
    }
    for (const side of [
      i === 0 ? problem.before : undefined,
      i === last ? problem.after : undefined,
    ]) {
      if (side === undefined) continue;
      const join = neighbourCost(w, side, hand, mean);
      shift += join.shift;
      crossing += join.crossing;
    }
    const parts = { ...gripCost(problem, w, grip, hand), shift, crossing };
    const cost: MomentCost = { moment, grip, from, hand, parts };
    from = hand;
    lastMean = mean;
    return cost;
  });
}

/**
 * The cost of a complete fingering in its parts, added up from its places and hand positions alone.
 * @throws RangeError when a note has no place or a moment no hand position (programmer's error).
 */
export function fingeringCostParts(
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
  style: FingeringStyle = problem.style,
): CostParts {
  const sum = { shift: 0, reach: 0, crossing: 0, open: 0, region: 0, bend: 0, fingers: 0, ring: 0 };
  for (const { parts } of momentCosts(problem, fingering, style))
    for (const name of COST_NAMES) sum[name] += parts[name];
  return sum;
}

/** The cost of a complete fingering: the sum of its parts (N4). */
export function fingeringCost(
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
  style: FingeringStyle = problem.style,
): number {
  const parts = fingeringCostParts(problem, fingering, style);
  return COST_NAMES.reduce((sum, name) => sum + parts[name], 0);
}
