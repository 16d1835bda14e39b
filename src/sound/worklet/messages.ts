import type { Instrument } from '../../core/phrase/types';
import type { Click, DrumHit, PartName } from '../../core/sound/parts';
import type { ToneName } from '../../core/sound/tone';
import type { Sound } from '../../core/sound/types';

/** Name under which the worklet is registered. */
export const WORKLET = 'degreewise-strings';

/** An instrument and what it sounds through. */
export interface Strings {
  readonly instrument: Instrument;
  readonly tone: ToneName;
}

/** What is played by strings. */
export type StringPartName = Extract<PartName, 'phrase' | 'bass' | 'comping'>;

/** Sounds of one part, as they are sent. */
export type PartSounds =
  | { readonly part: StringPartName; readonly sounds: readonly Sound[] }
  | { readonly part: 'drums'; readonly sounds: readonly DrumHit[] }
  | { readonly part: 'click'; readonly sounds: readonly Click[] };

/** From the page to what sounds. Times are samples of the audio context. */
export type ToStrings =
  /** Strings of a part, at rest. The same instrument and tone as before are left as they are, only silenced. */
  | ({ readonly kind: 'set up'; readonly part: StringPartName } & Strings)
  /** Sounds to come; their onsets count from `origin`. Drums and clicks need no setting up. */
  | ({ readonly kind: 'play'; readonly origin: number } & PartSounds)
  /** The level of a part in decibels, reached without a click; `-Infinity` is silence. */
  | { readonly kind: 'level'; readonly part: PartName; readonly level: number }
  /**
   * From the sample `at` on (at once where absent) nothing more begins and what sounds is damped; of one part,
   * or of all. What is sent to be played afterwards is not touched.
   */
  | { readonly kind: 'stop'; readonly part?: PartName; readonly at?: number };
