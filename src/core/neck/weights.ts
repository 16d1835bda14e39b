import type { Instrument } from '../phrase/types';
import { midiOf } from '../theory/pitch';

/** What a fingering is for: each has a weight set of its own, since weights do not carry over. */
export type FingeringStyle = 'lead' | 'chordal' | 'fingerstyle';

/** The soft costs of N4 by name. The unit is about the effort of one change of position, unhurried. */
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
  /** The index finger reaching one fret back while the hand stays. */
  readonly back: number;
  /** Every fret between the hand and the home of what is struck (`homeFret`), on the average. */
  readonly home: number;
  /** Every string between what was struck last and what is struck now. */
  readonly cross: number;
  /** Every string after the first of such a crossing. */
  readonly skip: number;
  /** Every open string struck, unless it is held under later notes: a drone is what open strings are for. */
  readonly open: number;
  /** The same where the hand lies at the nut or capo and the open strings belong to its position. */
  readonly openNut: number;
  /** The same in a full chord, of five or more strings. */
  readonly openFull: number;
  /** Every open string struck, for each fret the hand lies above the second. */
  readonly openHigh: number;
  /** Every fret the hand lies above `highAbove`. */
  readonly high: number;
  readonly highAbove: number;
  /** Every semitone of a bend, for each fret it lies below the seventh, where the string is stiff. */
  readonly bendStiff: number;
  /** Every semitone of a bend, for each string it lies past the third, where it is pulled. */
  readonly bendPulled: number;
  /** Every semitone of a bend that has no finger behind it to help; half of it with one. */
  readonly bendAlone: number;
  /** Every string left out between two that are struck together: it has to be kept silent. */
  readonly gap: number;
  /** Every finger after the first that is down at once. */
  readonly finger: number;
  /** Every finger that holds a note from before while others are struck: it keeps the hand where it is. */
  readonly hold: number;
  /** Every let-ring note that is struck over at another fret, or whose stop the hand has left. */
  readonly ringCut: number;
}

/** What a hand that holds several strings at once reaches at ease, in mm: frets 12 to 17 (N1). */
const EASY_GRIP = 80;

/** One finger a fret at the nut, frets 1 to 4 (N1: 97.3 mm): a line needs its fingers one by one. */
const FINGER_A_FRET = 98;

/** One weight set a style (*ours*); `README.md` beside this file has the reason for each number. */
export const WEIGHTS: Readonly<Record<FingeringStyle, Weights>> = {
  lead: {
    shift: 1.2,
    shiftFret: 0.6,
    hurry: 0.5,
    slideShift: 0.35,
    reach: 0.3,
    reachFrom: FINGER_A_FRET,
    stretch: 1.3,
    back: 1,
    home: 0.08,
    cross: 0.4,
    skip: 0.4,
    open: 0.5,
    openNut: 0.15,
    openFull: 0.5,
    openHigh: 0.4,
    high: 0,
    highAbove: 6,
    bendStiff: 0.15,
    bendPulled: 0.4,
    bendAlone: 0.4,
    gap: 0.4,
    finger: 0,
    hold: 0.3,
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
    back: 0.8,
    home: 0.05,
    cross: 0.05,
    skip: 0,
    open: 0.5,
    openNut: -0.1,
    openFull: -0.2,
    openHigh: 0.4,
    high: 0,
    highAbove: 5,
    bendStiff: 0.15,
    bendPulled: 0.4,
    bendAlone: 0.3,
    gap: 0,
    finger: 0.15,
    hold: 0.3,
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
    back: 0.8,
    home: 0,
    cross: 0.03,
    skip: 0,
    open: -0.4,
    openNut: -0.4,
    openFull: -0.4,
    openHigh: 0.1,
    high: 0.15,
    highAbove: 3,
    bendStiff: 0.15,
    bendPulled: 0.4,
    bendAlone: 0.3,
    gap: 0,
    finger: 0.1,
    hold: 0.3,
    ringCut: 2,
  },
};

const OPEN_STRING_WEIGHTS = mapStyles(WEIGHTS, (w) => ({
  ...w,
  open: Math.min(w.open, 0),
  openNut: Math.min(w.openNut, 0),
  openFull: Math.min(w.openFull, 0),
}));

function mapStyles(
  all: Readonly<Record<FingeringStyle, Weights>>,
  change: (w: Weights) => Weights,
): Readonly<Record<FingeringStyle, Weights>> {
  const { lead, chordal, fingerstyle } = all;
  return { lead: change(lead), chordal: change(chordal), fingerstyle: change(fingerstyle) };
}

/**
 * The weights of a style on an instrument. With a capo an open string costs nothing in itself: that
 * it can be used is what the capo is for (*common practice*). The same on a ukulele.
 */
export function weightsFor(style: FingeringStyle, instrument: Instrument): Weights {
  const open = instrument.capo > 0 || lovesOpenStrings(instrument);
  return (open ? OPEN_STRING_WEIGHTS : WEIGHTS)[style];
}

/** Scale in mm below which a neck is a ukulele's: a tenor has 432, a three-quarter guitar 580 (*from memory*). */
const SHORT_NECK = 450;

/**
 * Whether open strings are what the instrument is played with: a short neck, or one whose strings do
 * not descend, so that neighbours ring into each other like bells (*common practice*: ukulele).
 */
export function lovesOpenStrings(i: Instrument): boolean {
  const falls = i.tuning.every((p, k) => k === 0 || midiOf(p) < midiOf(i.tuning[k - 1]!));
  return i.scaleLength < SHORT_NECK || !falls;
}
