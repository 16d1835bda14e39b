import { phraseDifferences } from '../../core/differing/phrase';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { analysisOf } from '../score/analysis';
import {
  count,
  feelName,
  keyName,
  laneName,
  levelName,
  meterName,
  tempoName,
} from '../shared/words';
import { pairsOf } from './pairs';
import { type DifferenceKind, kindsOf, traitsOf, traitWords } from './traits';

/** One thing that differs: the upper phrase has this, the lower that. */
export interface Difference {
  readonly what: string;
  readonly upper: string;
  readonly lower: string;
}

export interface NoteDifference extends Difference {
  /** Unique in the list. */
  readonly id: string;
  /** In what the two notes differ, in the order of `KINDS`; never empty. */
  readonly kinds: readonly DifferenceKind[];
}

export interface Comparison {
  /** Title, key, chords and the like. */
  readonly facts: readonly Difference[];
  readonly notes: readonly NoteDifference[];
  /** What differs and has no row, in the words of `core/differing`; title and family are left out. */
  readonly besides: readonly string[];
  /** Notes of both that are equal in everything that is compared. */
  readonly equal: number;
  /** Notes that differ, each with in what, as `kinds` of its row. */
  readonly upperMarked: ReadonlyMap<NoteId, readonly DifferenceKind[]>;
  readonly lowerMarked: ReadonlyMap<NoteId, readonly DifferenceKind[]>;
}

/**
 * What differs between two phrases. Notes are matched by bar and moment; of notes at one moment those
 * with one id first (a moved phrase keeps its ids), then from the highest down. What is left over in a
 * bar is matched by id, then by pitch: the same note earlier or later.
 */
export function compare(upper: Phrase, lower: Phrase): Comparison {
  const [a, b] = [analysisOf(upper), analysisOf(lower)];
  const notes: NoteDifference[] = [];
  const upperMarked = new Map<NoteId, readonly DifferenceKind[]>();
  const lowerMarked = new Map<NoteId, readonly DifferenceKind[]>();
  let equal = 0;
  for (const { place, upper: x, lower: y } of pairsOf(upper, lower)) {
    const [above, below] = [traitsOf(upper, a, x), traitsOf(lower, b, y)];
    const kinds = kindsOf(above, below);
    if (kinds.length === 0) {
      equal++;
      continue;
    }
    if (x !== null) upperMarked.set(x.note.id, kinds);
    if (y !== null) lowerMarked.set(y.note.id, kinds);
    notes.push({
      id: `${place} ${x?.note.id ?? ''} ${y?.note.id ?? ''}`,
      what: place,
      kinds,
      upper: traitWords(above, below),
      lower: traitWords(below, above),
    });
  }
  const facts = compareFacts(upper, lower);
  const rows = new Set(facts.map((f) => f.what));
  if (notes.length > 0) rows.add(NOTES);
  const told = Object.entries(TOLD).filter(([, by]) => by.some((what) => rows.has(what)));
  const besides = phraseDifferences(upper, lower, new Set([...APART, ...told.map(([f]) => f)]));
  return { facts, notes, besides, equal, upperMarked, lowerMarked };
}

/** Stands for the rows of notes. */
const NOTES = 'Notes';

/** What tells each field of a phrase; of a field that differs while none of its rows does only that can be said. */
const TOLD: Readonly<Record<string, readonly string[]>> = {
  key: ['Key'],
  chords: ['Chords'],
  bars: ['Metre', 'Bars'],
  length: ['Metre', 'Bars', NOTES],
  pickup: ['Bars'],
  tempo: ['Tempo'],
  feel: ['Feel'],
  instrument: ['Instrument', 'Capo'],
  styleOf: ['In the style of'],
  level: ['Level'],
  tags: ['Tags'],
  voices: [NOTES],
};

/** Two phrases have other titles and families; of two versions `compareWords` tells the title. */
const APART = ['title', 'parent', 'created'];

/** What differs and has no row, where some of it has one in `words`. */
export function besidesOf(found: Comparison, words: readonly Difference[]): readonly string[] {
  const told = new Set(words.map((w) => w.what.toLowerCase()));
  return found.besides.filter((b) => !told.has(b));
}

/** What differs in the title and in what is written about it: of versions of one phrase. */
export function compareWords(upper: Phrase, lower: Phrase): Difference[] {
  const rows: readonly (readonly [string, (p: Phrase) => string])[] = [
    ['Title', (p) => p.meta.title],
    ['Notes for students', (p) => p.meta.notes ?? 'none'],
  ];
  return differing(rows, upper, lower);
}

function compareFacts(upper: Phrase, lower: Phrase): Difference[] {
  const rows: readonly (readonly [string, (p: Phrase) => string])[] = [
    ['Key', (p) => keyName(p.key)],
    ['Chords', laneName],
    ['Metre', meterName],
    ['Bars', (p) => count(p.bars.length, 'bar') + (p.pickup > 0 ? ' and a pickup' : '')],
    ['Tempo', (p) => tempoName(p.tempo)],
    ['Feel', (p) => feelName(p.feel)],
    ['Instrument', (p) => p.instrument.name],
    ['Capo', (p) => (p.instrument.capo === 0 ? 'none' : `fret ${p.instrument.capo}`)],
    ['In the style of', (p) => p.meta.styleOf ?? 'not said'],
    ['Level', (p) => (p.meta.level === undefined ? 'not said' : levelName(p.meta.level))],
    ['Tags', (p) => (p.meta.tags.length === 0 ? 'none' : p.meta.tags.join(', '))],
  ];
  return differing(rows, upper, lower);
}

function differing(
  rows: readonly (readonly [string, (p: Phrase) => string])[],
  upper: Phrase,
  lower: Phrase,
): Difference[] {
  return rows.flatMap(([what, read]) => {
    const [x, y] = [read(upper), read(lower)];
    return x === y ? [] : [{ what, upper: x, lower: y }];
  });
}
