import type { HeardNote } from '../../core/heard/types';
import type { Problem } from '../../core/result';
import type { CaughtPhrase } from '../../io/heard/phrases';

/** What is said of the music; what is absent is found. */
export interface CatchSaid {
  readonly bpm?: number;
  /** Text of a lane; empty for none. */
  readonly lane: string;
  /** Text of a key; empty where it is to be guessed. */
  readonly key: string;
}

/** From the page to what hears. */
export type ToEar =
  | { readonly kind: 'begin'; readonly rate: number }
  /** `sent`: when, in milliseconds, so that it shows who cannot keep up. */
  | { readonly kind: 'block'; readonly samples: Float32Array; readonly sent: number }
  /** Hears all that is remembered, and forgets it. */
  | {
      readonly kind: 'keep';
      readonly said: CatchSaid;
      readonly title: string;
      readonly now: string;
    }
  | {
      readonly kind: 'file';
      readonly samples: Float32Array;
      readonly rate: number;
      readonly said: CatchSaid;
      readonly title: string;
      readonly now: string;
    }
  /** The same recording written once more. */
  | { readonly kind: 'again'; readonly said: CatchSaid; readonly without: readonly number[] };

/** What was found of the whole recording. */
export interface CaughtTake {
  readonly bpm: number;
  readonly bpmFound: boolean;
  readonly fits: boolean;
  readonly key: string;
  readonly keyFound: boolean;
  readonly feel: string;
  readonly phrases: readonly CaughtPhrase[];
  /** All notes, also those that were taken out. */
  readonly notes: readonly HeardNote[];
  /** Seconds at which bars begin, over the whole recording. */
  readonly bars: readonly number[];
  /** In words: too loud, too soft. */
  readonly remarks: readonly string[];
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
  | { readonly kind: 'taken'; readonly take: CaughtTake }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] };

export interface LiveNote {
  readonly midi: number;
  readonly technique: string;
}
