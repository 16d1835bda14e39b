import type { Attack, Instrument, Legato, NoteId, Place, Ticks } from '../phrase/types';
import type { Midi } from '../theory/pitch';
import type { Limits } from './limits';
import type { FingeringStyle } from './weights';

/** How a note hangs on the note before it on its string. */
export type LinkKind = Legato | 'slide-plucked';

/** Hammer-ons go up, pull-offs down, slides either way but not nowhere. */
export function goesRightWay(kind: LinkKind, from: Midi, to: Midi): boolean {
  if (kind === 'hammer-on') return to > from;
  if (kind === 'pull-off') return to < from;
  return to !== from;
}

export interface Link {
  /** `NoteId` or grace key of the note it starts from. */
  readonly source: NoteId;
  readonly kind: LinkKind;
}

/**
 * One note to be placed: what the neck needs to know about it and nothing else. A main note goes by
 * its id, a grace note by its `graceKey`. Absent fields ask for nothing.
 */
export interface FingerNote {
  readonly id: NoteId;
  /**
   * `stopped` at a fret or open; `harmonic` touched at a node of the open string; `dead` struck
   * without pitch, on `onlyString`, wherever the hand is.
   */
  readonly kind: 'stopped' | 'harmonic' | 'dead';
  /** Sounding pitch of the fretted start; of a natural harmonic, the pitch heard. 0 for a dead note. */
  readonly midi: number;
  /** Width of its bend in semitones; absent without a bend. */
  readonly bend?: number;
  readonly vibrato?: true;
  /** Semitones between the start of a slide-in and the note; null for no definite start. */
  readonly slideIn?: { readonly from: 'below' | 'above'; readonly semitones: number | null };
  readonly slideOut?: 'up' | 'down';
  /** Semitones from the note up to the trill's upper note. */
  readonly trill?: number;
  readonly attack?: Attack;
  /** Present for every attack that starts from a note before, where that note was found. */
  readonly link?: Link;
  /** A later note slides away from it. */
  readonly slidFrom?: true;
  /** Stopped by the thumb, which is not one of the four fingers. */
  readonly thumb?: true;
  /** Sounds on under what is struck later: a drone, or a note held against a moving voice. */
  readonly heldUnder?: true;
  /** The only string it may lie on: a pin, or a hand that keeps its strings. */
  readonly onlyString?: number;
  readonly onlyFret?: number;
  /** What each string costs it beside the hand, from the first on: evidence of where it was played. */
  readonly stringCosts?: readonly number[];
  /** Lowest and highest fret it may lie on, both included; the open string is fret 0. */
  readonly fretRange?: readonly [number, number];
}

/**
 * One moment at which something is struck. Numbers are indices into the problem's notes.
 * Everything in `struck` and `held` sounds together.
 */
export interface Moment {
  readonly onset: Ticks;
  /** Time since the moment before in seconds; 0 for the first and between a grace and its note. */
  readonly seconds: number;
  readonly struck: readonly number[];
  /** Struck before and still sounding as written; in the sounding set of the moment before, too. */
  readonly held: readonly number[];
  /** Marked 'let ring', past their written end: they should go on, but are no hard rule. */
  readonly ringing: readonly number[];
}

/** Where a hand is just before or after what is fingered, as evidence: soft, a cost like any other. */
export interface Neighbour {
  /** Fret of its index finger, counted from the capo, from 1. */
  readonly hand: number;
  /** Mean number of the strings struck there; absent where it says nothing about strings. */
  readonly strings?: number;
  /** Time from one to the other in seconds. */
  readonly seconds: number;
}

/** What is to be fingered, free of phrase and page: notes in moments on an instrument. */
export interface FingeringProblem {
  readonly instrument: Instrument;
  readonly limits: Limits;
  /** Whose weights are meant (N4). */
  readonly style: FingeringStyle;
  readonly notes: readonly FingerNote[];
  /** Ascending in time. */
  readonly moments: readonly Moment[];
  /** Where the hand comes from: the phrase before, the part before, the hand that is on the neck. */
  readonly before?: Neighbour;
  /** Where it has to be next. */
  readonly after?: Neighbour;
}

/** A place for every note and grace note, and where the hand is at every moment. */
export interface Fingering {
  /** `fingeringCost` of it, up to rounding. */
  readonly cost: number;
  /** By note id or grace key. */
  readonly places: ReadonlyMap<NoteId, Place>;
  /** Fret of the index finger at each moment of the problem, counted from the capo, from 1. */
  readonly handPositions: readonly number[];
}
