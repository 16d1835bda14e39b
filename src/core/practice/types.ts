import type { MoveChange } from '../move/changes';
import type { Goal } from '../move/goal';
import type { Phrase, Ticks } from '../phrase/types';
import type { BackingParts, Click } from '../sound/parts';
import type { Seconds, Sound } from '../sound/types';

/** Where the rounds lead: one take of the phrase after the other, then from the beginning again. */
export type Cycle =
  | { readonly kind: 'same' }
  /** Every key of the phrase's mode, each a fourth above the one before. */
  | { readonly kind: 'fourths' }
  /** Every key, each a semitone above the one before. */
  | { readonly kind: 'semitones' }
  /** Chords, numerals or keys with commas or spaces between: `I IV V`, `C, F, Bb`. */
  | { readonly kind: 'list'; readonly text: string };

/** Which beats of a bar the metronome beats. */
export const CLICK_BEATS = ['every', 'first', 'back'] as const;
/** Every beat, the first of a bar only, or the second and fourth (the even ones). */
export type ClickBeats = (typeof CLICK_BEATS)[number];

/** How the metronome beats. */
export interface ClickWay {
  readonly beats: ClickBeats;
  /** Whether the first beat of a bar is louder. */
  readonly accent: boolean;
  /** Sounds in a beat: 1, 2, 3 or 4. Two swing with the phrase. */
  readonly parts: 1 | 2 | 3 | 4;
}

/** A stretch of written time, in whole ticks from the beginning of the phrase. */
export interface Stretch {
  readonly from: Ticks;
  readonly to: Ticks;
  /** Whether a round lasts whole bars or whole beats, so that the next begins where it was left. */
  readonly fills: 'bar' | 'beat';
}

/** When the tempo rises. */
export interface StepUp {
  /** Percent of the written tempo, greater than 0. */
  readonly by: number;
  /** It rises no further than this, in percent. */
  readonly to: number;
  /** After every round, or after those of which somebody said that they were good. */
  readonly after: 'every round' | 'a good round';
}

/** How a phrase is practised. */
export interface Practice {
  /** Written time that is played; the whole phrase with its repeats where it is null. */
  readonly stretch: Stretch | null;
  /** Over and over; once through the cycle where it is not. */
  readonly endless: boolean;
  /** Percent of the written tempo in the first round, 25 to 200. */
  readonly speed: number;
  readonly stepUp: StepUp | null;
  /** Bars that are counted before the first round. */
  readonly countIn: 0 | 1 | 2;
  readonly click: ClickWay | null;
  /** Percent of a pair that the first of two swung notes takes, 50 to 75; as the phrase says where it is null. */
  readonly swing: number | null;
  readonly cycle: Cycle;
  /** After each round as long a time without the phrase, in which it is answered. */
  readonly answer: boolean;
  /** Whether the phrase itself is heard; what accompanies it always is. */
  readonly phrase: boolean;
}

/** Limits of `Practice.speed`, in percent. */
export const SPEED = { least: 25, most: 200 } as const;

/** Limits of `Practice.swing`, in percent; 50 is straight, 67 the triplet shuffle. */
export const SWING = { least: 50, most: 75 } as const;

/** Once through, as it is written. */
export const PLAIN: Practice = {
  stretch: null,
  endless: false,
  speed: 100,
  stepUp: null,
  countIn: 0,
  click: null,
  swing: null,
  cycle: { kind: 'same' },
  answer: false,
  phrase: true,
};

/** A take that cannot be played, and why. */
export interface LeftOut {
  readonly goal: Goal;
  readonly why: string;
}

/** The phrase as it is played in one round. */
export interface Take {
  /** Where it was moved; null where it is as it was written. */
  readonly goal: Goal | null;
  readonly phrase: Phrase;
  /** What its move changed and where. */
  readonly changes: readonly MoveChange[];
}

/** What a part of the course is for. */
export type StepKind = 'count-in' | 'play' | 'answer';

/** A part of a course; each begins at the sample at which the one before ends. */
export interface Step {
  readonly kind: StepKind;
  /** Rounds before this one. */
  readonly round: number;
  /** Percent of the written tempo. */
  readonly speed: number;
  readonly take: Take;
  /** The take that follows in the next round; null where none does. */
  readonly next: Take | null;
  /** Places of the cycle that are passed over before the next round, since they cannot be played. */
  readonly leftOut: readonly LeftOut[];
  readonly length: Seconds;
  /** Of the phrase, to be marked on the page; onsets count from the beginning of the step, ascending. */
  readonly sounds: readonly Sound[];
  /** Whether they are heard as well: the phrase may be left out. */
  readonly heard: boolean;
  /** Ascending. */
  readonly clicks: readonly Click[];
  /** What accompanies, heard in answers and where the phrase is left out as well. */
  readonly backing: BackingParts | null;
  readonly secondsPerTick: number;
  /** Played ticks of the take at which the step begins; written ones where a stretch is played. */
  readonly from: Ticks;
}
