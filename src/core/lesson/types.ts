import type { Form } from '../form/types';
import type { Goal } from '../move/goal';
import type { HandWay, OctaveChoice, Way } from '../move/request';
import type { RecordHead, RecordMeta } from '../phrase/record';
import type { Instrument, Phrase } from '../phrase/types';
import type { Cycle } from '../practice/types';
import type { ShapeKind } from '../shapes/types';
import type { ChordSymbol } from '../theory/chord-model';
import type { PitchClass } from '../theory/pitch';

/** The version of the stored form that this code writes. */
export const LESSON_VERSION = 2;

/** Items of one lesson, and its phrases, at most. */
export const MOST_ITEMS = 500;
/** Parts of one solo, at most. */
export const MOST_PARTS = 100;

/**
 * A lesson: items in the order in which a student meets them, with the phrases they speak of inside, so
 * that it is whole wherever it is taken. The stored JSON has exactly this shape.
 */
export interface Lesson extends RecordHead<'degreewise-lesson', typeof LESSON_VERSION> {
  readonly meta: LessonMeta;
  /** Each once; items name them by their ids. */
  readonly phrases: readonly Phrase[];
  readonly items: readonly LessonItem[];
}

/** What an item needs of its lesson. */
export type Carried = Pick<Lesson, 'phrases'>;

export interface LessonMeta extends RecordMeta {
  /** Stands under the title: what the lesson is for. */
  readonly intro?: string;
}

/** A move as a person said it, so that it is made anew where the phrase changes. */
export interface LessonMove extends Goal {
  readonly way?: Way;
  readonly octave?: OctaveChoice;
  readonly hand?: HandWay;
}

/** Where a phrase of a solo stands, and what it is called. */
export interface SoloPlace {
  /** Bars as musicians count them. */
  readonly firstBar: number;
  readonly lastBar: number;
  readonly title: string;
}

interface ItemBase {
  /** Unlike those of all other items of the lesson. */
  readonly id: string;
  /** Stands over it; what it shows says enough where absent. */
  readonly heading?: string;
  /** What the student is to do. */
  readonly todo?: string;
}

interface OfPhrase extends ItemBase {
  /** Id of a phrase of the lesson. */
  readonly phrase: string;
}

export interface TextItem extends ItemBase {
  readonly kind: 'text';
  /** Paragraphs, divided by empty lines. */
  readonly text: string;
}

export interface PhraseItem extends OfPhrase {
  readonly kind: 'phrase';
}

/** A phrase before and after a move. */
export interface PairItem extends OfPhrase {
  readonly kind: 'pair';
  readonly move: LessonMove;
}

/** A phrase on the neck, or the chords under it. */
export interface NeckItem extends OfPhrase {
  readonly kind: 'neck';
  readonly shows: 'phrase' | 'chords';
}

/** Shapes of chords around a fret. */
export interface ShapesItem extends ItemBase {
  readonly kind: 'shapes';
  readonly instrument: Instrument;
  readonly chords: readonly [ChordSymbol, ...ChordSymbol[]];
  readonly shape: ShapeKind;
  /** Fret counted from the capo. */
  readonly near: number;
}

/** A song form in a key. */
export interface FormItem extends ItemBase {
  readonly kind: 'form';
  readonly form: Form;
  readonly tonic: PitchClass;
}

/** A solo, and where its parts came from. */
export interface SoloItem extends OfPhrase {
  readonly kind: 'solo';
  readonly parts: readonly SoloPlace[];
  /** What accompanies it, heard along with it. */
  readonly comping?: SoloComping;
}

/** An accompaniment written out for a solo, over the same bars. */
export interface SoloComping {
  /** Id of a phrase of the lesson. */
  readonly phrase: string;
  /** Whether it is printed on the lines of the solo. */
  readonly printed: boolean;
}

/** Exercise: the phrase through keys or chords, such as all twelve keys or I IV V. */
export interface RoundsItem extends OfPhrase {
  readonly kind: 'rounds';
  readonly cycle: Cycle;
}

/** Exercise: every second to eighth moment of the phrase is left out, to be filled in. */
export interface GapsItem extends OfPhrase {
  readonly kind: 'gaps';
  readonly every: number;
}

/** Exercise: the degrees of the phrase are left out, to be named. */
export interface DegreesItem extends OfPhrase {
  readonly kind: 'degrees';
  readonly from: 'chord' | 'key';
}

/** Exercise: as many bars as the phrase has stay empty after it, for an answer. */
export interface AnswerItem extends OfPhrase {
  readonly kind: 'answer';
}

export type LessonItem =
  | TextItem
  | PhraseItem
  | PairItem
  | NeckItem
  | ShapesItem
  | FormItem
  | SoloItem
  | RoundsItem
  | GapsItem
  | DegreesItem
  | AnswerItem;

export type ItemKind = LessonItem['kind'];

/** Bounds of `GapsItem.every`. */
export const GAPS = { least: 2, most: 8 } as const;

/** An item that speaks of a phrase of the lesson. */
export type ItemOfPhrase = Extract<LessonItem, { readonly phrase: string }>;

/** Ids of all phrases of the lesson that an item needs. */
export function phrasesOfItem(item: LessonItem): readonly string[] {
  if (!speaksOfPhrase(item)) return [];
  if (item.kind !== 'solo' || item.comping === undefined) return [item.phrase];
  return [item.phrase, item.comping.phrase];
}

/** Whether an item is about a phrase of the lesson, which it names by its id. */
export function speaksOfPhrase(item: LessonItem): item is ItemOfPhrase {
  return 'phrase' in item;
}
