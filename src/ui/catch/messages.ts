import type { PlayedTo } from '../../core/heard/clock';
import type { TempoReading } from '../../core/heard/tempo';
import type { Heard, HeardNote } from '../../core/heard/types';
import type { Meter, Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import type { ToneName } from '../../core/sound/tone';
import type { CaughtPhrase } from '../../io/heard/phrases';
import type { BandNote } from '../../sound/capture/without-band';

/** What is said of the music; what is absent is found. */
export interface CatchSaid {
  readonly bpm?: number;
  /** 4/4 where absent. */
  readonly meter?: Meter;
  /** Text of a lane; empty for none. */
  readonly lane: string;
  /** Text of a key; empty where it is to be guessed. */
  readonly key: string;
  /** What it was played on, a name of `PLAYED_ON`; a guitar where absent. What is lower is listened for lower. */
  readonly instrument?: string;
  /** Keys of unsure rhythms that are written as the second-best one. */
  readonly otherwise?: readonly number[];
}

/** What is played along with. */
export interface PlayWith extends CatchSaid {
  readonly way: 'click' | 'band';
  readonly bpm: number;
}

/** What is played along with, as sound. */
export interface Round {
  /** A bar of clicks before it. */
  readonly countIn: Float32Array<ArrayBuffer>;
  /** Once through; it goes round without a gap. */
  readonly samples: Float32Array<ArrayBuffer>;
  readonly seconds: number;
  /** Seconds of the form once through; null for a click without chords, which has none. */
  readonly form: number | null;
  /** Notes of the band, in seconds from its beginning: what leaks into the microphone is known by them. */
  readonly notes: readonly BandNote[];
}

/** A click or a band that runs while it listens, as the clock of the device has it. */
export interface RunningClock {
  /** The number by which what is played along with was asked for. */
  readonly ask: number;
  readonly bpm: number;
  /** Seconds once through. */
  readonly round: number;
  /** Seconds from its first beginning, as it is heard, to the newest sample that was handed on. */
  readonly ago: number;
  /** Seconds from its first beginning to its end; to the newest sample while it runs. */
  readonly ran: number;
  /** Seconds of the form once through; null where there is none. */
  readonly form: number | null;
  /** Whether the delay of the device is in that. */
  readonly measured: boolean;
}

/** All that is remembered, the last whole round of the form, or what was played since the last long rest. */
export type WhatToKeep = 'all' | 'round' | 'phrase';

/** From the page to what hears. */
export type ToEar =
  /** Computes what is played along with; the answer has the same number. */
  | {
      readonly kind: 'accompany';
      readonly ask: number;
      readonly wish: PlayWith;
      readonly rate: number;
    }
  | { readonly kind: 'begin'; readonly rate: number }
  /** The pitch of the lowest string there is, from now on, for the notes that are told as they come. */
  | { readonly kind: 'lowest'; readonly midi: number }
  /** `sent`: when, in milliseconds, so that it shows who cannot keep up. */
  | { readonly kind: 'block'; readonly samples: Float32Array; readonly sent: number }
  /** Hears all that is remembered, and forgets it; or a part, and forgets nothing. */
  | {
      readonly kind: 'keep';
      readonly what: WhatToKeep;
      readonly said: CatchSaid;
      readonly title: string;
      readonly now: string;
      readonly clock: RunningClock | null;
    }
  | {
      readonly kind: 'file';
      readonly samples: Float32Array;
      readonly rate: number;
      readonly said: CatchSaid;
      readonly title: string;
      readonly now: string;
    }
  /** Computes a phrase as sound; the answer has the same number. */
  | {
      readonly kind: 'render';
      readonly ask: number;
      readonly phrase: Phrase;
      readonly tone: ToneName | null;
      readonly rate: number;
    }
  /** The recording heard once more, for other strings: as the page has it, since what hears keeps none. */
  | {
      readonly kind: 'anew';
      readonly samples: Float32Array;
      readonly rate: number;
      readonly said: CatchSaid;
      readonly without: readonly number[];
    }
  /** What was heard of a recording before, which is not there any more. */
  | {
      readonly kind: 'heard before';
      readonly notes: readonly HeardNote[];
      readonly recorded: Recorded;
      readonly remarks: readonly string[];
    }
  /** The same recording written once more. */
  | { readonly kind: 'again'; readonly said: CatchSaid; readonly without: readonly number[] };

/** What was found of the whole recording. */
export interface CaughtTake {
  /** What was said of it when it was written. */
  readonly said: CatchSaid;
  readonly bpm: number;
  readonly bpmFound: boolean;
  readonly meter: Meter;
  /** Other tempos in which the same can be read, the likeliest first; none where one was said. */
  readonly readings: readonly TempoReading[];
  /** It was played to a click or a band, whose beat and bars it has. */
  readonly toClock: boolean;
  /** Beats a minute of what was played before the click or the band began; null where nothing was. */
  readonly bpmBefore: number | null;
  readonly fits: boolean;
  readonly key: string;
  readonly keyFound: boolean;
  readonly feel: string;
  readonly phrases: readonly CaughtPhrase[];
  /** All notes, also those that were taken out. */
  readonly notes: readonly HeardNote[];
  /** Numbers of those that were taken out when it was written. */
  readonly without: readonly number[];
  /** Seconds at which bars begin, over the whole recording. */
  readonly bars: readonly number[];
  /** In words: too loud, too soft. */
  readonly remarks: readonly string[];
  readonly recorded: Recorded;
}

/** What else is known of the recording, so that what was heard can be written again without it. */
export interface Recorded extends Pick<Heard, 'dead' | 'seconds'> {
  readonly title: string;
  /** When it was caught, ISO 8601 in UTC. */
  readonly now: string;
  readonly playedTo: PlayedTo | null;
}

/** From what hears to the page. */
export type FromEar =
  | { readonly kind: 'ready'; readonly arithmetic: 'simd' | 'plain' }
  | { readonly kind: 'live'; readonly notes: readonly LiveNote[] }
  | { readonly kind: 'share'; readonly share: number }
  | {
      readonly kind: 'sound';
      readonly samples: Float32Array;
      readonly rate: number;
    }
  | { readonly kind: 'round'; readonly ask: number; readonly round: Round }
  | { readonly kind: 'no round'; readonly ask: number; readonly problems: readonly Problem[] }
  /** Null where it could not be computed. */
  | { readonly kind: 'rendered'; readonly ask: number; readonly samples: Float32Array | null }
  /** The part that was to be kept is there, and is written next; without it `refused` comes. */
  | { readonly kind: 'found' }
  /** Nothing is remembered any more: all of it is kept now. */
  | { readonly kind: 'forgotten' }
  | { readonly kind: 'taken'; readonly take: CaughtTake }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] };

export interface LiveNote {
  /** One that is told again under its number is heard otherwise now. */
  readonly id: number;
  readonly midi: number;
  readonly technique: string;
}
