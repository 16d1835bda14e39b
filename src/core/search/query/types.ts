import type { LibraryOrder } from '../../library/sort';
import type { Role, Ticks } from '../../phrase/types';
import type { Degree } from '../../theory/degree';
import type { Mode } from '../../theory/key';
import type { PitchClass } from '../../theory/pitch';
import type { TechniqueName } from './technique-names';

/** What is looked for, as a tree; `readQuery` makes it of a text, `writeQuery` a text of it. */
export type Query =
  /** Nothing is looked for: everything is found. */
  | { readonly kind: 'all' }
  /** Every part holds; two parts at least, none of them `both`. */
  | { readonly kind: 'both'; readonly parts: readonly Query[] }
  /** One part at least holds; two parts at least, none of them `either`. */
  | { readonly kind: 'either'; readonly parts: readonly Query[] }
  | { readonly kind: 'not'; readonly part: Query }
  | Atom;

/** One thing that is looked for; each kind has its definition in `define`. */
export type Atom =
  /** Occurs somewhere in what is printed of a phrase; folded (`foldText`). */
  | { readonly kind: 'text'; readonly text: string }
  /** A chord of the key, as typed: `IV7`, `ii`; also as a word of title or tags. */
  | { readonly kind: 'numeral'; readonly numeral: string }
  /** A single degree, anywhere; also the chord of that name (`b7`), or a word of title or tags. */
  | { readonly kind: 'degree'; readonly degree: Degree }
  | RowAtom
  /** Chords that follow each other in the lane: symbols or numerals, two at least. */
  | { readonly kind: 'change'; readonly chords: readonly string[] }
  /**
   * Symbols or numerals, one at least, over which the whole phrase can stand as it hears its own chords: as
   * many, of the same qualities, with the same steps from root to root.
   */
  | { readonly kind: 'fits'; readonly chords: readonly string[] }
  | { readonly kind: 'first' | 'last'; readonly degree: Degree }
  | { readonly kind: 'rhythm'; readonly values: readonly RhythmValue[] }
  /** From note to note of a line. */
  | { readonly kind: 'contour'; readonly turns: readonly Turn[] }
  /** Semitones from note to note of a line. */
  | { readonly kind: 'intervals'; readonly semitones: readonly number[] }
  | { readonly kind: 'with'; readonly technique: TechniqueName }
  | { readonly kind: 'role'; readonly role: Role }
  /** A symbol or numeral of the lane. */
  | { readonly kind: 'chord'; readonly chord: string }
  | NumberAtom
  /** Null: whatever it is; never both null. */
  | { readonly kind: 'key'; readonly tonic: PitchClass | null; readonly mode: Mode | null }
  | { readonly kind: 'feel'; readonly feel: FeelName }
  | { readonly kind: 'meter'; readonly beats: number; readonly beatType: number }
  /** Occurs in that one field; folded. */
  | { readonly kind: 'in'; readonly field: TextField; readonly text: string }
  /** In a collection of which the title has these words; folded. */
  | { readonly kind: 'member'; readonly text: string }
  /** Used on that day; `2026`, `2026-11` or `2026-11-27`. Null: never used. */
  | { readonly kind: 'used'; readonly day: string | null }
  /** Changed on that day or later, or before it; `2026`, `2026-11` or `2026-11-27`, in UTC. */
  | { readonly kind: 'when'; readonly side: 'since' | 'before'; readonly day: string };

/** Degrees in this order in one voice, next to each other but where a gap says otherwise. */
export interface RowAtom {
  readonly kind: 'row';
  /** What the degrees count from. */
  readonly from: 'chord' | 'tonic';
  readonly steps: readonly [RowStep, ...RowStep[]];
  /** The chord or numeral that all of its notes belong to; null for any. */
  readonly over: string | null;
}

export interface RowStep {
  /** Null: any note. */
  readonly degree: Degree | null;
  /** Against the step before; null for either. Always null on the first step. */
  readonly turn: 'up' | 'down' | null;
  /** Any number of notes may lie between the step before and this one; false on the first step. */
  readonly gap: boolean;
  readonly techniques: readonly TechniqueName[];
}

export type Turn = 'up' | 'down' | 'same';

export interface RhythmValue {
  readonly rest: boolean;
  readonly ticks: Ticks;
}

/** Both ends belong to it; `to` may be infinite. */
export interface NumberAtom {
  readonly kind: 'number';
  readonly of: NumberName;
  readonly from: number;
  readonly to: number;
}

export type NumberName =
  | 'level'
  | 'bars'
  | 'tempo'
  | 'notes'
  | 'span'
  | 'frets'
  | 'strings'
  /** Days since it was used last; endless for one that never was. */
  | 'idle';
export type FeelName = 'straight' | 'swung' | 'shuffle';
export type TextField = 'title' | 'tag' | 'style' | 'source' | 'remarks';

/** In what order the answers come. */
export interface QueryOrder {
  readonly by: LibraryOrder;
  readonly reversed: boolean;
}

/** All that a text of the language says. */
export interface Search {
  readonly query: Query;
  /** Null where the text names none. */
  readonly order: QueryOrder | null;
}
