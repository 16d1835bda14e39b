import type { LaneChord } from '../move/request';
import type { Feel, Meter, Phrase, Ticks } from '../phrase/types';
import type { Drum } from '../sound/parts';
import type { Degree } from '../theory/degree';
import type { Key } from '../theory/key';
import type { Midi } from '../theory/pitch';

/** How the band plays; words of the trade. `twelve-eight` is the slow blues in triplets, in any metre. */
export const BACKING_FEELS = [
  'straight',
  'rock',
  'shuffle',
  'twelve-eight',
  'swing',
  'bossa',
  'ballad',
] as const;
export type BackingFeel = (typeof BACKING_FEELS)[number];

/** As they are named to people. */
export const FEEL_NAMES: Readonly<Record<BackingFeel, string>> = {
  straight: 'straight',
  rock: 'rock',
  shuffle: 'shuffle',
  'twelve-eight': 'slow 12/8',
  swing: 'swing',
  bossa: 'bossa, even eighths',
  ballad: 'ballad',
};

/** A bar as it is played; ticks count from the first tick played, pickup included. */
export interface FormBar {
  /** As a musician counts it; 0 for the pickup, where the band is silent. */
  readonly number: number;
  readonly meter: Meter;
  readonly start: Ticks;
  /** Before its full length where the phrase ends inside it. */
  readonly end: Ticks;
  /** A section ends with it: drums lead on. */
  readonly closes: boolean;
}

/** A chord for as long as it lasts; null for N.C. */
export interface FormChord {
  readonly start: Ticks;
  readonly end: Ticks;
  readonly chord: LaneChord;
}

/** What a band needs to know: bars and chords in the order in which they are played. */
export interface BackingForm {
  readonly key: Key;
  readonly feel: Feel;
  readonly bars: readonly FormBar[];
  /** Without gaps from the first tick to the last; no two neighbours are the same chord. */
  readonly chords: readonly FormChord[];
  readonly length: Ticks;
  /** Quarters a minute, which decide how much swing swings. */
  readonly quarters: number;
}

/** What a note of the bass is for. */
export const BASS_ROLES = [
  'root', // of the chord, or the bass that its symbol names
  'chord tone',
  'passing', // of the chord's home scale, entered and left by step
  'approach', // the last note before a change, a step from the bass note that it leads to
  'fifth of the next', // the last note before a change, a fourth below or a fifth above its goal
] as const;
export type BassRole = (typeof BASS_ROLES)[number];

/** A place on an instrument's neck with its sound. */
export interface Stopped {
  readonly midi: Midi;
  /** 1 = first string. */
  readonly string: number;
  readonly fret: number;
}

/** A moment of the band, as it is written: swing is applied when it is played. */
export interface BandMoment {
  readonly at: Ticks;
  readonly end: Ticks;
  /** Decibels about mezzo-forte. */
  readonly level: number;
  /** A third of a beat, which swing does not move. */
  readonly tuplet?: true;
}

export interface BassNote extends BandMoment, Stopped {
  readonly role: BassRole;
  /** Over the root of the chord that it sounds over. */
  readonly degree: Degree;
}

/** One voice of a chord, lowest first in its chord. */
export interface CompVoice extends Stopped {
  readonly degree: Degree;
}

export interface CompChord extends BandMoment {
  readonly stroke: 'down' | 'up';
  readonly voices: readonly CompVoice[];
  /** It is the next chord, at most an eighth early (D2). */
  readonly early?: true;
}

export interface DrumStroke extends BandMoment {
  readonly drum: Drum;
  /** It belongs to a fill. */
  readonly fill?: true;
}

/** A band's part for a form: everything that is played, nothing later than the form. */
export interface Backing {
  readonly feel: BackingFeel;
  readonly form: BackingForm;
  /** What swing the band plays with. */
  readonly swing: Feel;
  readonly bass: readonly BassNote[];
  readonly comping: readonly CompChord[];
  readonly drums: readonly DrumStroke[];
  /** Played in place of `comping` over every chord onto which it can be moved; null without one. */
  readonly rhythm: Phrase | null;
}

export interface BackingOptions {
  readonly feel: BackingFeel;
  /** Another seed is another band; whole. Default 1. */
  readonly seed?: number;
  /** Whether the first bar comes again after the last, so that the bass leads back. Default yes. */
  readonly loops?: boolean;
  /** A rhythm of one's own in place of the comping: moved onto every chord, with its own techniques. */
  readonly rhythm?: Phrase;
}
