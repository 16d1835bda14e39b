import type { NoteValue, WrittenValue } from './note-value';
import type { BarSpan } from './time';
import type { TupletRatio } from './tuplet-ratio';
import type { Ticks } from './types';

/** What an item does in one beam; the names are MusicXML's beam-value. */
export type BeamPart = 'begin' | 'continue' | 'end' | 'forward hook' | 'backward hook';

/**
 * One note (or chord) or rest as it stands on the page: a single note value inside one bar.
 * An event that crosses a bar line or a beat group is several items joined by ties (T2).
 */
export interface WrittenItem {
  /** Ticks from the phrase's first tick. */
  readonly onset: Ticks;
  /** Ticks it takes in the bar; inside a tuplet less than its value says. */
  readonly duration: Ticks;
  /** The written value; of a whole-bar rest the value that is drawn, a whole. */
  readonly value: NoteValue;
  readonly dots: 0 | 1;
  /** Index in the voice's events; null for a rest. */
  readonly event: number | null;
  /** Which of the tied items of its event this is, from 1; 1 for rests. */
  readonly part: number;
  readonly tieStop: boolean;
  readonly tieStart: boolean;
  readonly tuplet: TupletPart | null;
  /** A rest that stands for the whole of a full bar, whatever its meter. */
  readonly wholeBar: boolean;
  /** From the longest beam (eighths) down; empty for what is not beamed. */
  readonly beams: readonly BeamPart[];
}

/** The place of an item in its tuplet. */
export type TupletPart = TupletRatio & {
  /** Index in the voice's tuplets. */
  readonly index: number;
  /** The value of which `normal` fill the tuplet's time. */
  readonly unit: WrittenValue;
  readonly start: boolean;
  readonly stop: boolean;
};

/** One bar of the page. */
export interface WrittenBar {
  readonly span: BarSpan;
  /** The items of each voice fill the bar from its first tick to its last. */
  readonly voices: readonly (readonly WrittenItem[])[];
}
