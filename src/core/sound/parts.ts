import type { Instrument } from '../phrase/types';
import type { ToneName } from './tone';
import type { Seconds, Sound } from './types';

/** Strings that sound together through one tone: the phrase, a bass, a guitar that accompanies. */
export interface StringPart {
  readonly instrument: Instrument;
  readonly tone: ToneName;
  /** Ascending by onset. */
  readonly sounds: readonly Sound[];
}

/** What a drum kit has; plain words of the trade. */
export const DRUMS = [
  'kick',
  'snare',
  'cross-stick', // the stick laid across the snare, on its rim
  'brush', // a brush on the snare: a short tap
  'sweep', // a brush drawn over the snare, for as long as its length
  'closed hat',
  'open hat', // rings until a closed one or the foot
  'foot hat', // the foot brings the two together
  'ride',
  'bell', // the middle of the ride cymbal
  'crash',
  'high tom',
  'low tom',
] as const;
export type Drum = (typeof DRUMS)[number];

/** One stroke on the kit. */
export interface DrumHit {
  readonly drum: Drum;
  /** Seconds from the beginning. */
  readonly onset: Seconds;
  /** Decibels about mezzo-forte. */
  readonly level: number;
  /** How long a brush is drawn; what is struck rings as long as it does by itself. */
  readonly length?: Seconds;
}

/** One beat of the metronome or of a count-in. */
export interface Click {
  /** The first of a bar, a beat, or a part of a beat: three pitches, so that they are told apart. */
  readonly beat: 'first' | 'beat' | 'part';
  /** Seconds from the beginning. */
  readonly onset: Seconds;
  /** Decibels about mezzo-forte. */
  readonly level: number;
}

/** What accompanies a phrase. */
export interface BackingParts {
  readonly bass: StringPart | null;
  readonly comping: StringPart | null;
  readonly drums: readonly DrumHit[];
}

/** All that is heard together, on one clock: onsets count from the same beginning. */
export interface Parts {
  readonly phrase: StringPart | null;
  readonly backing: BackingParts | null;
  readonly click: readonly Click[];
  /** Until the end of the last bar; what rings on rings beyond it. */
  readonly length: Seconds;
}

/** The levels that a mixer has. */
export const PART_NAMES = ['phrase', 'bass', 'comping', 'drums', 'click'] as const;
export type PartName = (typeof PART_NAMES)[number];

/** Decibels of every part, 0 as computed; `-Infinity` is silence. */
export type Mix = Readonly<Record<PartName, number>>;

/** The phrase a little before what accompanies it (ours). */
export const USUAL_MIX: Mix = { phrase: 0, bass: 0, comping: -7, drums: -4, click: -6 };
