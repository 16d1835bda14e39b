import type { NoteId, Ticks } from '../phrase/types';
import type { Midi } from '../theory/pitch';

/** A length of time or a moment in seconds from the beginning of the performance. */
export type Seconds = number;

/** Hundredths of an equal-tempered semitone. */
export type Cents = number;

/** How a sound begins. All but the first and the last continue the string that already sounds. */
export type Begin = 'plucked' | 'hammered' | 'pulled' | 'slid' | 'tapped';

/** What sort of sound the string gives. */
export type Manner =
  | 'open' // rings freely, stopped or not
  | 'palm' // muted by the palm: short and dull
  | 'dead' // muted by the fretting hand: a click without pitch
  | 'harmonic' // touched on a node, natural or artificial
  | 'pinch' // a pinch harmonic: bright
  | 'scrape'; // the pick's edge along a wound string: no pitch

/** A corner of a pitch curve; straight lines join the corners, and the ends are held. */
export interface PitchPoint {
  /** Seconds from the sound's onset. */
  readonly at: Seconds;
  /** Cents above `Sound.midi`. */
  readonly cents: Cents;
}

/**
 * Vibrato: a sine between the pitch and `depth` on one side of it, since a string that is stopped can
 * only be pulled sharp, and one that is bent already is let down a little (common practice).
 */
export interface Shake {
  /** Seconds from the sound's onset. */
  readonly from: Seconds;
  readonly hertz: number;
  /** Cents; negative where the pitch is let down. */
  readonly depth: Cents;
}

/** One sound of one string. */
export interface Sound {
  /** The note it belongs to; null for the strings of a rake and for grace notes. */
  readonly noteId: NoteId | null;
  readonly voice: 0 | 1;
  /** 1 = first string. */
  readonly string: number;
  /** Counted from the capo; where the finger is when it begins. */
  readonly fret: number;
  /** Seconds from the beginning. */
  readonly onset: Seconds;
  /** Seconds until the string is damped or struck again. */
  readonly length: Seconds;
  /** Written tick of the event it comes from, for marking the score. */
  readonly tick: Ticks;
  /** Decibels about mezzo-forte. */
  readonly level: number;
  readonly begin: Begin;
  readonly manner: Manner;
  /** The pitch that the curve counts from; of a harmonic the pitch that is heard. */
  readonly midi: Midi;
  /** At least one corner, ascending in time. */
  readonly curve: readonly PitchPoint[];
  readonly shake?: Shake;
  /** Dips of the vibrato bar, which every string that sounds takes part in. */
  readonly dips?: readonly Dip[];
}

/** The bar goes down and comes back; a triangle in cents. */
export interface Dip {
  /** Seconds from the sound's onset; may be negative where the sound begins in the dip. */
  readonly from: Seconds;
  readonly length: Seconds;
  /** Positive number of cents downwards. */
  readonly depth: Cents;
}

/** A stretch of the phrase as it is played: repeats and endings make several of it. */
export interface Pass {
  /** Written ticks, bar lines included: from `start` up to `end`. */
  readonly start: Ticks;
  readonly end: Ticks;
  /** Where the stretch begins in played ticks. */
  readonly at: Ticks;
}

/** A phrase as sound: one truth for the player, for audio files and for MIDI. */
export interface Performance {
  /** Ascending by onset, then by string number. */
  readonly sounds: readonly Sound[];
  readonly passes: readonly Pass[];
  /** Until the end of the last bar played; what rings on rings beyond it. */
  readonly length: Seconds;
  /** Seconds for one played tick; swing is in the sounds already. */
  readonly secondsPerTick: number;
}
