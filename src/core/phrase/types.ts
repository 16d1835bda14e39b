import type { ChordSymbol } from '../theory/chord-model';
import type { Degree } from '../theory/degree';
import type { Key } from '../theory/key';
import type { Pitch } from '../theory/pitch';
import type { TupletRatio } from './tuplet-ratio';

/** Whole ticks, 10,080 to a quarter note (T1). Onsets count from the phrase's first tick, pickup included. */
export type Ticks = number;

export const TICKS_PER_QUARTER = 10_080;

/** The version of the stored form that this code writes. */
export const PHRASE_VERSION = 5;

/** Identity of a note inside its phrase; survives moves, so a report can name the note. */
export type NoteId = string;

/**
 * One phrase: what the whole program is about. The stored JSON has exactly this shape.
 * A field that is absent has its default; there is never a null for 'not set' except where the
 * docstring says so.
 */
export interface Phrase {
  readonly format: 'degreewise-phrase';
  readonly version: typeof PHRASE_VERSION;
  /** Stable over edits; a copy gets a new one. */
  readonly id: string;
  /** The phrase this one was made from, or null. */
  readonly parent: string | null;
  readonly meta: Meta;
  readonly instrument: Instrument;
  readonly key: Key;
  readonly tempo: Tempo;
  readonly feel: Feel;
  /** Length of the pickup (bar 0), 0 to less than the first bar (T2). */
  readonly pickup: Ticks;
  /** The full bars 1, 2, …; at least one. */
  readonly bars: readonly Bar[];
  /** From the first tick to the end; may end inside the last bar, never before it begins (T2). */
  readonly length: Ticks;
  /** The chord lane, ascending, no two at one onset; a symbol lasts until the next. May be empty. */
  readonly chords: readonly ChordChange[];
  /** One voice, or a melody over a second voice such as a drone. */
  readonly voices: readonly [Voice] | readonly [Voice, Voice];
  /** Dynamics and words, ascending. */
  readonly marks: readonly Mark[];
  /** What it was put together from, in the order it was laid in; absent where it is of one piece. */
  readonly parts?: readonly PhrasePart[];
}

/**
 * What one part of a phrase was made of. It has no bars: where it stands is told by its notes, so that
 * bars put in or taken out before it leave it true.
 */
export interface PhrasePart {
  /** Id of the phrase it was made of. */
  readonly source: string;
  /** What that was called when it was laid here. */
  readonly title: string;
  /** Its notes have the ids of the source's notes with this in front. */
  readonly notes: string;
  /** Octaves beyond those that the move to these chords chose. */
  readonly octaves: number;
  /** Tick of the source from which on it was left out, since the next part begins there. */
  readonly until?: Ticks;
  /** Stands for what the source gave here (`fingerprintOfData`): whether it still would can be told. */
  readonly laid: number;
  /** Somebody has let it go its own way. */
  readonly apart?: true;
}

export interface Meta {
  readonly title: string;
  /** 'in the style of', in the player's own words. */
  readonly styleOf?: string;
  /** Where it comes from. */
  readonly source?: string;
  readonly tags: readonly string[];
  readonly level?: 1 | 2 | 3 | 4 | 5;
  /** Notes for students. */
  readonly notes?: string;
  /** ISO 8601 in UTC. */
  readonly created: string;
  readonly modified: string;
}

export interface Instrument {
  readonly name: string;
  /** Sounding open pitches without capo, string 1 first (P4); need not descend (re-entrant tunings). */
  readonly tuning: readonly Pitch[];
  /** Number of frets on the neck, counted from the nut. */
  readonly frets: number;
  /** Vibrating length of an open string in millimetres (N1). */
  readonly scaleLength: number;
  /** Fret of the capo, 0 for none; note frets count from it (N2). */
  readonly capo: number;
  /** How the staff is written (P3): 8 = sounds an octave below. */
  readonly clef: 'treble-8' | 'treble' | 'bass-8';
}

export interface Tempo {
  readonly bpm: number;
  /** What is counted. */
  readonly unit: 'eighth' | 'quarter' | 'dotted-quarter' | 'half';
}

/** How written rhythm sounds (T3); never changes what is written. */
export type Feel =
  | { readonly kind: 'straight' }
  | {
      readonly kind: 'swing';
      /** Which pairs are swung. */
      readonly unit: 'eighth' | '16th';
      /** Ratio of the first to the second note of the pair, in lowest terms: 2 and 1 for a shuffle. */
      readonly first: number;
      readonly second: number;
    };

export interface Meter {
  readonly beats: number;
  readonly beatType: 1 | 2 | 4 | 8 | 16;
}

export interface Bar {
  readonly meter: Meter;
  readonly repeatStart?: true;
  /** A repeat ends with this bar; how often the section is played in all, at least 2. */
  readonly repeatEnd?: number;
  /** The passes on which this bar is played: [1] first ending, [2] second. */
  readonly ending?: readonly number[];
}

export interface ChordChange {
  readonly onset: Ticks;
  /** Null for N.C. */
  readonly symbol: ChordSymbol | null;
}

/**
 * One voice: events in ascending order that do not overlap. The gaps are its rests, and ties are
 * made on the page where a duration crosses a bar line or needs more than one note value.
 */
export interface Voice {
  readonly events: readonly PhraseEvent[];
  /** Ascending, not overlapping, inside one bar each. */
  readonly tuplets: readonly Tuplet[];
}

/** `actual` notes in the time of `normal`, filling [onset, onset + duration). */
export type Tuplet = InTime<TupletRatio>;

/** Each ratio of its own, so that no other can be put together. */
type InTime<R> = R extends TupletRatio
  ? {
      readonly onset: Ticks;
      readonly duration: Ticks;
      readonly actual: R['actual'];
      readonly normal: R['normal'];
    }
  : never;

/** What is struck at one moment: a note, a double stop or a chord, all of one length. */
export interface PhraseEvent {
  readonly onset: Ticks;
  readonly duration: Ticks;
  /** At least one, ascending by string number, no string twice. */
  readonly notes: readonly [Note, ...Note[]];
  /** Grace notes before it, in playing order; they take no written time. */
  readonly graces?: readonly [Grace, ...Grace[]];
  /** Direction of a single pick stroke. */
  readonly stroke?: 'down' | 'up';
  /** The strings are swept audibly one after the other: down = from the lowest string up in pitch. */
  readonly strum?: 'down' | 'up';
  /** Muted strings raked through before it, as string numbers in the order struck. */
  readonly rake?: readonly [number, ...number[]];
  readonly palmMute?: true;
  readonly staccato?: true;
  readonly accent?: true;
  readonly tenuto?: true;
  /** Tremolo picking: number of strokes through the stem, 1 = eighths, 2 = 16ths, 3 = 32nds. */
  readonly tremolo?: 1 | 2 | 3;
  /** Its length was guessed, from the spacing of a text or of what was heard; whoever sets a length takes the mark away. */
  readonly guessed?: true;
}

/** One grace note or grace double stop. */
export interface Grace {
  readonly notes: readonly [GraceNote, ...GraceNote[]];
}

export interface GraceNote {
  readonly pitch: Pitch;
  readonly string: number;
  readonly fret: number;
  /** How it is reached from the grace before it on the same string; plucked when absent. */
  readonly attack?: Legato;
}

export type Legato = 'hammer-on' | 'pull-off' | 'slide';

/** How a note begins other than by a plain pluck; the first three start from the note before on its string. */
export type Attack = Legato | 'slide-plucked' | 'tap';

export type Note = PitchedNote | DeadNote;

/** A place on the neck: string 1 is the first string, fret 0 the nut or capo (N2). */
export interface Place {
  readonly string: number;
  readonly fret: number;
}

/** A struck string without pitch, where the hand happens to be. */
export interface DeadNote extends Place {
  readonly kind: 'dead';
  readonly id: NoteId;
  /**
   * The edge of the pick is dragged along the string, down the neck towards the nut or up it; only on
   * a wound string, and to no definite pitch.
   */
  readonly scrape?: 'down' | 'up';
  readonly pinned?: true;
}

/**
 * A note with pitch, place and technique as one thing. `pitch` is the sounding pitch of the fretted
 * start (of a bend: before it is bent; of an artificial or pinch harmonic: the fretted pitch), and
 * equals open string + capo + fret; a natural harmonic alone has the pitch that is heard, over the
 * node's fret.
 */
export interface PitchedNote extends Place {
  readonly kind: 'pitched';
  readonly id: NoteId;
  readonly pitch: Pitch;
  /** Plucked when absent. */
  readonly attack?: Attack;
  readonly slideIn?: SlideIn;
  /** A slide off to no definite pitch, up or down. */
  readonly slideOut?: 'up' | 'down';
  readonly bend?: Bend;
  readonly vibrato?: 'narrow' | 'wide';
  readonly trill?: Trill;
  readonly harmonic?: Harmonic;
  /** A dip with the vibrato bar, in semitones downwards. */
  readonly barDip?: number;
  /** Played softly, written in parentheses. */
  readonly ghost?: true;
  readonly letRing?: true;
  /** Fretting hand, 1 index to 4 little finger, T thumb. */
  readonly finger?: 1 | 2 | 3 | 4 | 'T';
  /** Picking hand. */
  readonly pluck?: 'p' | 'i' | 'm' | 'a' | 'c';
  /** What the note follows when the phrase moves (M5); only where the user set it. */
  readonly anchor?: Anchor;
  /** What the user says the note is for (D3), before any rule. */
  readonly role?: Role;
  /** Whether the note belongs to the next chord (D2); only where it differs from what D2 reads. */
  readonly anticipation?: boolean;
  /** The string is kept in a move; hard (M12). */
  readonly pinned?: true;
}

/** A slide from below or above into the note at its beginning. */
export type SlideIn =
  | { readonly kind: 'interval'; readonly from: 'below' | 'above'; readonly semitones: number }
  | { readonly kind: 'indefinite'; readonly from: 'below' | 'above' };

/** Whole-semitone bends have a spelled target (D5); a curl is a quarter tone up and has none. */
export type Bend =
  | {
      readonly shape: 'bend' | 'bend-release' | 'pre-bend' | 'pre-bend-release';
      readonly target: Pitch;
      readonly curve: readonly BendPoint[];
    }
  | { readonly shape: 'curl'; readonly curve: readonly BendPoint[] };

/** Semitones a curl rises. */
export const CURL_SEMITONES = 0.5;

/** One point of the bend's curve; straight lines join the points. */
export interface BendPoint {
  /** Percent of the note's duration, 0 to 100, ascending. */
  readonly at: number;
  /** Percent of the bend's width, 0 to 100. */
  readonly amount: number;
}

export interface Trill {
  readonly upper: Pitch;
}

/** `above`: semitones between the open string (natural) or the fretted pitch and what is heard. */
export interface Harmonic {
  readonly kind: 'natural' | 'artificial' | 'pinch';
  readonly above: 12 | 19 | 24;
}

export type Anchor = 'chord' | 'key' | 'goal';

export const ROLES = [
  'chord tone',
  'blue note',
  'approach',
  'passing',
  'neighbour',
  'extension',
  'outside',
] as const;

/** What a note is for (D3). */
export type Role = (typeof ROLES)[number];

export type DynamicMark = 'pp' | 'p' | 'mp' | 'mf' | 'f' | 'ff';

export type Mark =
  | { readonly kind: 'dynamic'; readonly onset: Ticks; readonly value: DynamicMark }
  | { readonly kind: 'words'; readonly onset: Ticks; readonly text: string };

/** Several phrases in one file, with what else a library holds. */
export interface Library {
  readonly format: 'degreewise-library';
  readonly version: 2;
  readonly phrases: readonly Phrase[];
  /** Forms, lessons and other things that are no phrases; each names its format. */
  readonly others?: readonly {
    readonly format: string;
    readonly version: number;
    readonly [field: string]: unknown;
  }[];
}

/** Re-exported so that a reader of a phrase finds every type in one place. */
export type { ChordSymbol, Degree, Key, Pitch };
