import type { InstrumentWish } from '../phrase/instruments';
import type { Position } from '../phrase/time';
import type { NoteId, Phrase, Ticks } from '../phrase/types';
import type { NoteTechnique } from '../technique/fields';
import type { HardRule } from '../technique/hard-rule';
import type { Chord } from '../theory/chord';
import type { Degree } from '../theory/degree';
import type { Key } from '../theory/key';
import type { Pitch } from '../theory/pitch';

/** M1: what stays the same. */
export type Way = 'real' | 'chord' | 'tonal' | 'hold';

export const WAYS: readonly Way[] = ['real', 'chord', 'tonal', 'hold'];

/** M7: up is 1 to 12 semitones, down likewise, nearest −6 to 6. */
export type OctaveChoice = 'nearest' | 'up' | 'down';

export const OCTAVE_CHOICES: readonly OctaveChoice[] = ['nearest', 'up', 'down'];

/** M12: what the hand keeps. */
export type HandWay = 'shape' | 'strings' | 'area';

export const HAND_WAYS: readonly HandWay[] = ['shape', 'strings', 'area'];

/** One symbol of a destination lane; null is N.C. */
export type LaneChord = Chord | null;

/** M2: where the phrase goes. */
export type Destination =
  /** The key is taken as it is spelled; whoever computes one settles its name first (P5, `settleKey`). */
  | { readonly kind: 'key'; readonly key: Key }
  | { readonly kind: 'chord'; readonly chord: Chord }
  /** Symbols by bar, sharing the beats of the bar; a lane of one symbol covers everything. */
  | { readonly kind: 'lane'; readonly bars: readonly (readonly LaneChord[])[] }
  | { readonly kind: 'steps'; readonly steps: number }
  /** Over the same chords, whole octaves higher or lower; not 0. */
  | { readonly kind: 'octaves'; readonly octaves: number }
  /** The same pitches on another instrument or tuning; whole octaves away where it does not have them. */
  | { readonly kind: 'instrument'; readonly wish: InstrumentWish }
  /** The first note comes to lie there; bars, metres and chords stay. */
  | { readonly kind: 'beat'; readonly at: Position };

/** Four octaves of scale steps: more than any neck holds. */
export const MOST_STEPS = 28;

export const MOST_OCTAVES = 3;

export interface MoveRequest {
  readonly to: Destination;
  /** Default: real to a key, tonal by steps, chord over chords (M2). */
  readonly way?: Way;
  /** With hold: apply the suggestions (M1). */
  readonly adapt?: boolean;
  readonly octave?: OctaveChoice;
  readonly hand?: HandWay;
  /** Signs that are left out on purpose, a way out that a report has offered (M7). */
  readonly without?: readonly Without[];
}

/** A note before or after the move. Degrees are null where there is no chord. */
export interface NoteState {
  readonly pitch: Pitch;
  readonly chordDegree: Degree | null;
  readonly keyDegree: Degree;
  readonly string: number;
  readonly fret: number;
  /** Target of a bend. */
  readonly target?: { readonly pitch: Pitch; readonly chordDegree: Degree | null };
}

/** Why something is other than the bare rule would have it. */
export interface Adaptation {
  /** Rule number, for example `M10`. */
  readonly rule: string;
  /** One plain sentence without a full stop. */
  readonly text: string;
  /** The wish could not be kept and this was done instead; otherwise the rule itself asked for it. */
  readonly fallback: boolean;
  /** It is about the start of a bend alone, which M10 may still put elsewhere. */
  readonly start?: true;
  /** Which degree it says became which, where it speaks of one. */
  readonly degrees?: readonly [was: Degree, is: Degree];
  /** It says that something stayed as it was, and why. */
  readonly kept?: true;
}

/** One line of the report: every note with pitch has one (M13). */
export interface NoteReport {
  readonly id: NoteId;
  readonly onset: Ticks;
  readonly before: NoteState;
  readonly after: NoteState;
  readonly adaptations: readonly Adaptation[];
}

/** A useful change that *hold* does not make by itself (M1, M6). */
export interface Suggestion {
  readonly id: NoteId;
  readonly text: string;
  /** What the note would become, where the suggestion is one of pitch. */
  readonly pitch?: Pitch;
  /** A bend up to this pitch, where the suggestion is a bend. */
  readonly bendTo?: Pitch;
}

/** What stood in the way of a wish. */
export interface Obstacle {
  readonly rule: HardRule;
  /** The notes concerned. */
  readonly ids: readonly NoteId[];
  /** The sign without which the note alone could be played there, where it has one. */
  readonly technique: NoteTechnique | null;
  /** Which note, which technique, which rule, in plain words without a full stop. */
  readonly text: string;
}

/** A technique of one note that is left out before the move. */
export interface Without {
  readonly id: NoteId;
  readonly technique: NoteTechnique;
}

/** How far the notes of one owner chord went together (M7). */
export interface SegmentReport {
  readonly from: string;
  readonly to: string;
  readonly semitones: number;
}

export interface MoveReport {
  readonly way: Way;
  readonly hand: HandWay;
  /** The segments of every move, in order. */
  readonly segments: readonly SegmentReport[];
  readonly notes: readonly NoteReport[];
  /** What concerns the phrase as a whole. */
  readonly general: readonly Adaptation[];
  readonly suggestions: readonly Suggestion[];
  /** What stood in the way of the octave and the hand as they were wished; empty where both were kept. */
  readonly obstacles: readonly Obstacle[];
  /** Hard rules of the neck that the result still breaks, in words; empty when it is playable. */
  readonly unplayable: readonly string[];
}

export interface Moved {
  readonly phrase: Phrase;
  readonly report: MoveReport;
}
