import type { NoteId, Phrase } from '../phrase/types';
import type { Midi, Pitch } from '../theory/pitch';
import type { NoteReading } from '../understand/reading';

/** Where a note goes: its fretted start, and its target where it is bent. */
export interface NewPitch {
  readonly start: Pitch;
  readonly target: Pitch | null;
  /** The trill's upper note where it moves along. */
  readonly upper?: Pitch;
}

/** What a variation proposes, before it has a place on the neck. */
export type Draft = {
  /** Why this one, in a player's words, without a full stop. */
  readonly reason: string;
  /** The more, the more a player would choose it; 1 is usual. */
  readonly worth: number;
  readonly phrase: Phrase;
} & (
  | {
      /** Notes were added or have new pitches; all others keep their places where that can be. */
      readonly kind: 'notes';
      /** What may go to another place: note ids and grace keys. */
      readonly free: ReadonlySet<NoteId>;
    }
  | {
      /** Notes take other pitches along with everything on them (bends, graces, trills). */
      readonly kind: 'pitches';
      readonly to: (r: NoteReading) => NewPitch | null;
    }
  /** Nothing needs a place. */
  | { readonly kind: 'as it lies' }
);

/** Drafts, or in words why there are none. */
export type Offer = readonly Draft[] | string;

/** A new note's sound where it may be named by its surroundings. */
export interface Sound {
  readonly midi: Midi;
  readonly pitch: Pitch;
}
