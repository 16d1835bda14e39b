import type { LaidForm } from '../form/lay';
import type { MoveReport, MoveRequest } from '../move/request';
import type { Phrase, Ticks } from '../phrase/types';
import type { SoloTaste } from './wanted';

export interface SoloOptions {
  /** Draws a way in proportion to how likely it is; without one the best way is taken. */
  readonly seed?: number;
  /** So many different choruses; default 1. */
  readonly count?: number;
  /** Leaves out phrases whose level is above; those without a level are taken. */
  readonly level?: number;
  /** Whether chords that are struck or strummed may stand in it; lines and double stops only where absent. */
  readonly chords?: boolean;
  /** How often one phrase may stand in a chorus; default as often as a small library needs. */
  readonly most?: number;
  /** Phrases weighed for each bar; default 40. */
  readonly pool?: number;
  /** What stays where it was put; no two on one bar. */
  readonly pins?: readonly Pin[];
  /** What is not wanted at a bar. */
  readonly exclude?: readonly Spot[];
  /** False: nothing stands in it but what is pinned. */
  readonly fill?: boolean;
  /** What is wanted beyond good joins. */
  readonly taste?: SoloTaste;
}

/** A phrase at a bar. */
export interface Spot {
  /** Bar from 0 in which it begins; its pickup reaches into the bar before. */
  readonly start: number;
  /** Place in the list of phrases. */
  readonly index: number;
}

/** A phrase that stays at its bar, in an octave where one is named; or a bar that stays empty. */
export type Pin =
  | (Spot & { readonly octaves?: number })
  | { readonly start: number; readonly index: null };

/** A phrase as it could stand at a bar of the form. Ticks count from the first beat of bar 1. */
export interface Candidate {
  /** Place in the list of phrases. */
  readonly index: number;
  /** Bars from 0: it begins in `start` (its pickup in the bar before) and is through at `end`. */
  readonly start: number;
  readonly end: number;
  readonly requests: readonly MoveRequest[];
  /** Octaves beyond what the move chose. */
  readonly octaves: number;
  /** First onset, and the end of the last note. */
  readonly from: Ticks;
  readonly until: Ticks;
  /** How well its own chords are like those it would stand over, 0 to 1. */
  readonly suits: number;
}

/** One phrase of a chorus: where it stands, where it is from, and why it is there. */
export interface SoloPart {
  /** Bars as musicians count them, the pickup not counted. */
  readonly firstBar: number;
  readonly lastBar: number;
  /** The phrase it was made of, and its place in the list. */
  readonly phrase: Phrase;
  readonly index: number;
  readonly octaves: number;
  readonly pinned: boolean;
  readonly report: MoveReport;
  /** Parts of a sentence. */
  readonly why: readonly string[];
}

export interface Solo {
  /** A phrase like any other, as long as the form. */
  readonly phrase: Phrase;
  readonly parts: readonly SoloPart[];
  /** Bars from 1 that stay empty, each with the reason. */
  readonly empty: readonly { readonly bar: number; readonly why: string }[];
}

export interface SoloTask {
  readonly form: LaidForm;
  readonly phrases: readonly Phrase[];
  readonly options: SoloOptions;
}
