import type { Instrument } from '../../core/phrase/types';
import type { ToneName } from '../../core/sound/tone';
import type { Sound } from '../../core/sound/types';

/** Name under which the worklet is registered. */
export const WORKLET = 'degreewise-strings';

/** From the page to the strings. Times are samples of the audio context. */
export type ToStrings =
  /** Strings of an instrument, at rest. What sounded before is cut off. */
  | { readonly kind: 'set up'; readonly instrument: Instrument; readonly tone: ToneName }
  /** Sounds to come; their onsets count from `origin`. */
  | { readonly kind: 'play'; readonly sounds: readonly Sound[]; readonly origin: number }
  /** Nothing more begins, and what sounds is damped. */
  | { readonly kind: 'stop' };
