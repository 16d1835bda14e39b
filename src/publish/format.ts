import type { BackingFeel } from '../core/backing/types';
import type { Phrase } from '../core/phrase/types';
import type { Cycle } from '../core/practice/types';
import type { ToneName } from '../core/sound/tone';
import type { WavBits } from '../io/wav/write';
import type { DegreeView } from './degree-labels';

/** How a phrase is to look and sound, for the formats that ask. */
export interface Look {
  readonly staves: 'both' | 'staff' | 'tab';
  readonly degrees: DegreeView;
  /** In pictures: what the signs mean, under the music. */
  readonly legend: boolean;
  /** Percent of the tempo; the pitch stays. */
  readonly speed: number;
  /** Swung as it is heard, or straight as it stands on the page (T3). */
  readonly swing: 'heard' | 'written';
  /** The instrument's own, or another. */
  readonly tone: 'own' | ToneName;
  /** How a band plays along, if one does. */
  readonly backing: 'none' | BackingFeel;
  /** Which band; whole. */
  readonly seed: number;
  /** What the band comps with in place of its own: a rhythm that is moved onto every chord. */
  readonly comping: Phrase | null;
  /** What is written out beneath a phrase, on its lines or as a part of its own; null where nothing is. */
  readonly beneath: ((p: Phrase) => Phrase | null) | null;
  /** The keys or chords that it goes through, once, in one file. */
  readonly rounds: Cycle;
  /** Bits of a sample, in sound. */
  readonly bits: WavBits;
}

/** How a phrase looks and sounds where nobody said; degrees depend on the phrase. */
export const USUAL_LOOK: Omit<Look, 'degrees'> = {
  staves: 'both',
  legend: true,
  speed: 100,
  swing: 'heard',
  tone: 'own',
  backing: 'none',
  seed: 1,
  comping: null,
  beneath: null,
  rounds: { kind: 'same' },
  bits: 16,
};

/** Percent of the tempo that may be asked for. */
export const SPEED = { least: 25, most: 200 } as const;

/** What of a look a format takes. */
export type LookPart = keyof Look;

/** What a writer needs of the world outside. */
export interface Tools {
  /** The bytes of one of our fonts (`src/engrave/font`), in base 64. */
  readonly font: (file: FontFile) => Promise<string>;
  /** Paints a drawing; null where there is no browser to do it. */
  readonly paint: Paint | null;
}

export type FontFile =
  | 'degreewise-music.woff2'
  | 'degreewise-text.woff2'
  | 'degreewise-text-bold.woff2';

/** A drawing that is to be painted; sizes in px. */
export interface ToPaint {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
  /** Squares in a row below the drawing, each inked when one of the fonts is in use. */
  readonly probe: { readonly squares: number; readonly side: number };
}

/** Makes a PNG of a drawing. */
export type Paint = (drawing: ToPaint) => Promise<Uint8Array<ArrayBuffer>>;

export type Content = string | Uint8Array<ArrayBuffer>;

/** Writes one phrase. */
export type Writer = (phrase: Phrase, look: Look, tools: Tools) => Content | Promise<Content>;

/** A form in which phrases leave the house. */
export interface Format {
  /** As it is offered. */
  readonly name: string;
  /** What it is good for, without the ending. */
  readonly purpose: string;
  /** What it does not keep, in one sentence; null where it keeps everything. */
  readonly loses: string | null;
  /** Media type. */
  readonly type: string;
  readonly asks: readonly LookPart[];
  /** Whether the degrees are in it where nobody said. */
  readonly degrees: boolean;
  /** What becomes of several phrases: one library, one text, or an archive with a file for each. */
  readonly several: 'library' | 'text' | 'archive';
  /** Where it can be written. */
  readonly made: 'anywhere' | 'in a browser';
  /** The writer, fetched when it is needed. */
  readonly writer: () => Promise<Writer>;
  /** What of this phrase would not be kept, in words; where it depends on the phrase. */
  readonly left?: () => Promise<(phrase: Phrase) => readonly string[]>;
}
