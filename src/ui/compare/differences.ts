import { barSpans, positionOf } from '../../core/phrase/time';
import type { NoteId, Phrase, Ticks } from '../../core/phrase/types';
import { type NoteAt, notesOf } from '../../core/phrase/walk';
import { type Analysis, analyse } from '../../core/understand/analyse';
import { degreeText } from '../../publish/degree-labels';
import { techniqueWords } from '../score/note-words';
import {
  barName,
  beatName,
  capital,
  count,
  feelName,
  keyName,
  laneName,
  levelName,
  meterName,
  noteName,
  tempoName,
} from '../shared/words';

/** One thing that differs: the upper phrase has this, the lower that. */
export interface Difference {
  readonly what: string;
  readonly upper: string;
  readonly lower: string;
}

export interface NoteDifference extends Difference {
  /** Unique in the list. */
  readonly id: string;
}

export interface Comparison {
  /** Title, key, chords and the like. */
  readonly facts: readonly Difference[];
  readonly notes: readonly NoteDifference[];
  /** Notes of both that are equal in everything that is compared. */
  readonly equal: number;
  readonly upperMarked: ReadonlySet<NoteId>;
  readonly lowerMarked: ReadonlySet<NoteId>;
}

/**
 * What differs between two phrases. Notes are matched by bar and moment; of notes at one moment those
 * with one id first (a moved phrase keeps its ids), then from the highest down.
 */
export function compare(upper: Phrase, lower: Phrase): Comparison {
  const [a, b] = [analyse(upper), analyse(lower)];
  const notes: NoteDifference[] = [];
  const upperMarked = new Set<NoteId>();
  const lowerMarked = new Set<NoteId>();
  let equal = 0;
  for (const [place, pair] of momentsOf(upper, lower)) {
    for (const [x, y] of match(pair.upper, pair.lower)) {
      const words = [
        x === null ? null : noteWords(a, x),
        y === null ? null : noteWords(b, y),
      ] as const;
      if (words[0] === words[1]) {
        equal++;
        continue;
      }
      if (x !== null) upperMarked.add(x.note.id);
      if (y !== null) lowerMarked.add(y.note.id);
      notes.push({
        id: `${place} ${x?.note.id ?? ''} ${y?.note.id ?? ''}`,
        what: place,
        upper: words[0] ?? 'nothing',
        lower: words[1] ?? 'nothing',
      });
    }
  }
  return { facts: compareFacts(upper, lower), notes, equal, upperMarked, lowerMarked };
}

interface Moment {
  readonly upper: NoteAt[];
  readonly lower: NoteAt[];
}

/** Every moment of either phrase under its name, in order of bar and beat. */
function momentsOf(upper: Phrase, lower: Phrase): ReadonlyMap<string, Moment> {
  const moments = new Map<string, Moment & { readonly order: readonly [number, Ticks] }>();
  const collect = (p: Phrase, side: 'upper' | 'lower') => {
    const spans = barSpans(p);
    for (const at of notesOf(p)) {
      const { bar, beat } = positionOf(p, at.onset);
      const place = capital(`${barName(bar)}, beat ${beatName(beat)}`);
      const start = spans.find((s) => s.number === bar)!.start;
      const moment = moments.get(place) ?? { order: [bar, at.onset - start], upper: [], lower: [] };
      moments.set(place, moment);
      moment[side].push(at);
    }
  };
  collect(upper, 'upper');
  collect(lower, 'lower');
  const sorted = [...moments].sort(
    ([, x], [, y]) => x.order[0] - y.order[0] || x.order[1] - y.order[1],
  );
  return new Map(sorted);
}

function match(
  upper: readonly NoteAt[],
  lower: readonly NoteAt[],
): (readonly [NoteAt | null, NoteAt | null])[] {
  const pairs: (readonly [NoteAt | null, NoteAt | null])[] = [];
  const left = [...lower];
  const rest: NoteAt[] = [];
  for (const x of upper) {
    const k = left.findIndex((y) => y.note.id === x.note.id && y.voice === x.voice);
    if (k < 0) rest.push(x);
    else pairs.push([x, left.splice(k, 1)[0]!]);
  }
  for (const x of rest) pairs.push([x, left.shift() ?? null]);
  for (const y of left) pairs.push([null, y]);
  return pairs;
}

/** Everything about a note that is compared, in words; equal words mean an equal note. */
function noteWords(analysis: Analysis, at: NoteAt): string {
  const { note } = at;
  const place = `string ${note.string} ${note.fret === 0 ? 'open' : `fret ${note.fret}`}`;
  if (note.kind === 'dead') return `dead note, ${place}`;
  const reading = analysis.byId.get(note.id) ?? null;
  const degree =
    reading === null ? null : (degreeText(reading, 'chord') ?? degreeText(reading, 'key'));
  const words = [noteName(note.pitch), place, degree === null ? '' : `as ${degree}`];
  return [...words, ...techniqueWords(note, reading)].filter((w) => w !== '').join(', ');
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
  return rows.flatMap(([what, read]) => {
    const [x, y] = [read(upper), read(lower)];
    return x === y ? [] : [{ what, upper: x, lower: y }];
  });
}
