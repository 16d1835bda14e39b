import { reachMillimetres } from '../phrase/instrument';
import { fingersNeeded, handSpan, type Stop } from './hand';
import type { Fingering, FingeringProblem, Moment } from './problem';

/** What a fingering is for: each has a weight set of its own, since weights do not carry over. */
export type FingeringStyle = 'lead' | 'chordal' | 'fingerstyle';

/** The soft costs of N4 by name. The unit is the effort of moving the hand by one fret, unhurried. */
export interface Weights {
  /** Every change of position. */
  readonly shift: number;
  /** Every fret of a change of position. */
  readonly shiftFret: number;
  /** What a change in a quarter of a second adds, as a share of the change; twice that in an eighth. */
  readonly hurry: number;
  /** Share of a change that is left where a slide carries the hand. */
  readonly slideShift: number;
  /** Every 10 mm from the index finger to the farthest stop beyond `reachFrom`. */
  readonly reach: number;
  /** Distance in millimetres from the index finger that is still comfortable. */
  readonly reachFrom: number;
  /** Every fret the farthest stop lies beyond one finger a fret. */
  readonly stretch: number;
  /** Every string between what was struck last and what is struck now. */
  readonly cross: number;
  /** Every string after the first of such a crossing. */
  readonly skip: number;
  /** Every open string struck. */
  readonly open: number;
  /** Every open string struck, for each fret the index finger lies above the second. */
  readonly openHigh: number;
  /** Every fret the index finger lies below `lowBelow`. */
  readonly low: number;
  readonly lowBelow: number;
  /** Every fret the index finger lies above `highAbove`. */
  readonly high: number;
  readonly highAbove: number;
  /** Every semitone of a bend, for each fret it lies below the seventh, where the string is stiff. */
  readonly bendStiff: number;
  /** Every semitone of a bend, for each string it lies past the third, where it is pulled. */
  readonly bendPulled: number;
  /** Every finger after the first that is down at once. */
  readonly finger: number;
  /** Every let-ring note that is struck over, or whose stop the hand has left. */
  readonly ringCut: number;
}

/** What a hand that holds several strings at once reaches at ease, in mm: frets 12 to 17 (N1). */
const EASY_GRIP = 80;

/** One finger a fret at the nut, frets 1 to 4 (N1), in mm: a line needs its fingers one by one. */
const FINGER_A_FRET = 97;

/**
 * One weight set a style (*ours*). No fingering recorded from a player was used to set any:
 *
 * - *lead*: a position is left only for a reason, and leaving it costs more the less time there is;
 *   crossing to the next string is nearly free, skipping strings less so. One finger a fret is
 *   comfortable everywhere, a fifth fret is a stretch. Open strings cannot be bent or shaken and
 *   break the tone of a line, the more so up the neck. Positions 4 to 6 are home, mildly: below
 *   them frets are wide and strings stiff, above them strings are thicker for the same pitch and
 *   the body comes near. Bends lie on the upper strings. Reasoned first, then drawn towards the
 *   written fingerings of our sample lines as the decisions on fingering describe.
 * - *chordal*: strings are swept together, so crossing is free; open strings and few fingers are
 *   welcome, and the lower positions are home. Set from reasoning.
 * - *fingerstyle*: as chordal, with open strings that ring, which are worth keeping.
 */
export const WEIGHTS: Readonly<Record<FingeringStyle, Weights>> = {
  lead: {
    shift: 0.65,
    shiftFret: 0.35,
    hurry: 0.45,
    slideShift: 0.35,
    reach: 0.55,
    reachFrom: FINGER_A_FRET,
    stretch: 0.9,
    cross: 0.25,
    skip: 0.2,
    open: 0.4,
    openHigh: 0.4,
    low: 0.02,
    lowBelow: 4,
    high: 0.03,
    highAbove: 6,
    bendStiff: 0.15,
    bendPulled: 0.4,
    finger: 0,
    ringCut: 0.5,
  },
  chordal: {
    shift: 0.8,
    shiftFret: 0.3,
    hurry: 0.3,
    slideShift: 0.35,
    reach: 0.6,
    reachFrom: EASY_GRIP,
    stretch: 0.6,
    cross: 0.05,
    skip: 0,
    open: -0.2,
    openHigh: 0.2,
    low: 0,
    lowBelow: 1,
    high: 0.12,
    highAbove: 5,
    bendStiff: 0.15,
    bendPulled: 0.4,
    finger: 0.15,
    ringCut: 1.5,
  },
  fingerstyle: {
    shift: 0.8,
    shiftFret: 0.4,
    hurry: 0.3,
    slideShift: 0.35,
    reach: 0.6,
    reachFrom: EASY_GRIP,
    stretch: 0.6,
    cross: 0.03,
    skip: 0,
    open: -0.4,
    openHigh: 0.1,
    low: 0,
    lowBelow: 1,
    high: 0.15,
    highAbove: 3,
    bendStiff: 0.15,
    bendPulled: 0.4,
    finger: 0.1,
    ringCut: 2,
  },
};

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
    const mm = reachMillimetres(problem.instrument, hand, span.hi);
    reach += w.reach * Math.max(0, (mm - w.reachFrom) / 10);
    reach += w.stretch * Math.max(0, span.hi - (hand + 3));
    region += w.low * Math.max(0, w.lowBelow - hand) + w.high * Math.max(0, hand - w.highAbove);
  }
  let open = 0;
  let bend = 0;
  for (const s of grip.struck) {
    if (s.note.kind === 'stopped' && s.fret === 0)
      open += w.open + w.openHigh * Math.max(0, hand - NATURAL_OPEN_HAND);
    if (s.note.bend !== undefined)
      bend +=
        s.note.bend *
        (w.bendStiff * Math.max(0, FIRST_STIFF_FRET - s.fret) +
          w.bendPulled * Math.max(0, s.string - FIRST_PULLED_STRING));
  }
  const fingers = w.finger * Math.max(0, fingersNeeded(down) - 1);
  let cut = 0;
  for (const s of grip.ringing) {
    const over = grip.struck.some((x) => x.string === s.string);
    const left = s.note.kind === 'stopped' && s.fret > 0 && (s.fret < hand || s.fret > hand + 4);
    if (over || left) cut++;
  }
  return { reach, region, open, bend, fingers, ring: w.ringCut * cut };
}

/** How much harder a change of position is for the time there is: 1 without hurry. */
export function hurryFactor(w: Weights, seconds: number): number {
  return 1 + w.hurry * Math.min(4, 0.25 / Math.max(seconds, 0.001));
}

/** Cost of striking strings whose mean number differs by `strings`. */
export function crossingCost(w: Weights, strings: number): number {
  return w.cross * strings + w.skip * Math.max(0, strings - 1);
}

/** Whether a slide carries the hand into this moment. */
export function isSlidInto(problem: FingeringProblem, m: Moment): boolean {
  return m.struck.some((i) => {
    const kind = problem.notes[i]!.link?.kind;
    return kind === 'slide' || kind === 'slide-plucked';
  });
}

/**
 * The cost of a complete fingering in its parts, added up from its places and hand positions alone.
 * @throws RangeError when a note has no place or a moment no hand position (programmer's error).
 */
export function fingeringCostParts(
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
  style: FingeringStyle,
): CostParts {
  const w = WEIGHTS[style];
  const sum = { shift: 0, reach: 0, crossing: 0, open: 0, region: 0, bend: 0, fingers: 0, ring: 0 };
  const stops = (indices: readonly number[]): Stop[] =>
    indices.map((i) => {
      const note = problem.notes[i]!;
      const place = fingering.places.get(note.id);
      if (place === undefined) throw new RangeError(`note ${note.id} has no place`);
      return { note, string: place.string, fret: place.fret };
    });
  let lastHand: number | null = null;
  let lastMean = 0;
  problem.moments.forEach((m, i) => {
    const hand = fingering.handPositions[i];
    if (hand === undefined) throw new RangeError(`moment ${i} has no hand position`);
    const grip = { struck: stops(m.struck), held: stops(m.held), ringing: stops(m.ringing) };
    const own = gripCost(problem, w, grip, hand);
    sum.reach += own.reach;
    sum.open += own.open;
    sum.region += own.region;
    sum.bend += own.bend;
    sum.fingers += own.fingers;
    sum.ring += own.ring;
    const mean = grip.struck.reduce((t, s) => t + s.string, 0) / grip.struck.length;
    if (lastHand !== null) {
      if (hand !== lastHand) {
        const way = w.shift + w.shiftFret * Math.abs(hand - lastHand);
        const carried = isSlidInto(problem, m) ? w.slideShift : 1;
        sum.shift += way * carried * hurryFactor(w, m.seconds);
      }
      sum.crossing += crossingCost(w, Math.abs(mean - lastMean));
    }
    lastHand = hand;
    lastMean = mean;
  });
  return sum;
}

/** The cost of a complete fingering: the sum of its parts (N4). */
export function fingeringCost(
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
  style: FingeringStyle,
): number {
  const parts = fingeringCostParts(problem, fingering, style);
  return COST_NAMES.reduce((sum, name) => sum + parts[name], 0);
}
