import { sameData } from '../phrase/same';
import { placeWords } from '../phrase/time-words';
import type { Phrase, Tempo, Ticks } from '../phrase/types';
import { both, differingFields } from './words';

/**
 * What differs between two versions of a phrase, each thing in a few words: with both values, that of
 * `a` first, where they are short, or with the places in `a`. Empty where nothing but the id, the time of
 * the change and the names of notes differ.
 * @param told Fields that are told otherwise, and so not here.
 */
export function phraseDifferences(
  a: Phrase,
  b: Phrase,
  told: ReadonlySet<string> = NONE,
): readonly string[] {
  const fields = differingFields(a, b).filter((f) => !told.has(f));
  return fields.flatMap((field) => {
    const own = OWN_WORDS[field];
    if (own === undefined) return [NAMES[field] ?? field];
    const words = own(a, b);
    return words === null ? [] : [words];
  });
}

const NONE: ReadonlySet<string> = new Set();

/** Fields that a musician calls otherwise. */
const NAMES: Readonly<Record<string, string>> = {
  notes: 'notes for students',
  styleOf: 'in the style of',
  source: 'where it comes from',
  bars: 'bars',
  parts: 'what it was put together from',
  parent: 'what it was made from',
};

/** Fields of which more can be said than their name; null where only the names of notes differ. */
const OWN_WORDS: Readonly<Record<string, (a: Phrase, b: Phrase) => string | null>> = {
  title: (a, b) => both('title', `'${a.meta.title}'`, `'${b.meta.title}'`),
  tags: (a, b) => both('tags', a.meta.tags.join(', ') || 'none', b.meta.tags.join(', ') || 'none'),
  level: (a, b) => both('level', a.meta.level ?? 'none', b.meta.level ?? 'none'),
  tempo: (a, b) => both('tempo', tempoWords(a.tempo), tempoWords(b.tempo)),
  chords: (a, b) => at('chords', a, b, momentsOf(a.chords), momentsOf(b.chords)),
  marks: (a, b) => at('dynamics and words', a, b, momentsOf(a.marks), momentsOf(b.marks)),
  voices: (a, b) => {
    const events = (p: Phrase) => momentsOf(p.voices.flatMap((v) => v.events));
    const notes = at('notes', a, b, events(a), events(b));
    if (notes !== null) return notes;
    // Which voice a note is in, and what a tuplet is written as, has no moment of its own.
    const bare = (p: Phrase) => p.voices.map((v) => v.events.map(withoutNames));
    const tuplets = (p: Phrase) => p.voices.map((v) => v.tuplets);
    if (!sameData(bare(a), bare(b))) return 'voices';
    return sameData(tuplets(a), tuplets(b)) ? null : 'tuplets';
  },
};

export function tempoWords({ bpm, unit }: Tempo): string {
  return `${unit.replace('-', ' ')} = ${bpm}`;
}

/** So many places are named. */
const MOST_PLACES = 3;

/** `notes at bar 2, beat 1; bar 3, beat 4 and 2 more places`; null where they are the same everywhere. */
function at(what: string, a: Phrase, b: Phrase, x: Moments, y: Moments): string | null {
  const onsets = [...new Set([...x.keys(), ...y.keys()])]
    .filter((t) => !sameData(x.get(t), y.get(t)))
    .sort((s, t) => s - t);
  if (onsets.length === 0) return null;
  const places = onsets.map((t) => placeWords(x.has(t) ? a : b, t));
  const more = places.length - MOST_PLACES;
  const said = places.slice(0, MOST_PLACES).join('; ');
  return `${what} at ${said}${more > 0 ? ` and ${more} more place${more === 1 ? '' : 's'}` : ''}`;
}

type Moments = ReadonlyMap<Ticks, readonly unknown[]>;

/** What there is at each moment, without the names of notes. */
function momentsOf(things: readonly { readonly onset: Ticks }[]): Moments {
  const moments = new Map<Ticks, unknown[]>();
  for (const thing of things) {
    const bare = withoutNames(thing);
    const there = moments.get(thing.onset);
    if (there === undefined) moments.set(thing.onset, [bare]);
    else there.push(bare);
  }
  return moments;
}

/** An event whose notes have no ids: two that came from one score are the same under other names. */
function withoutNames(thing: object): unknown {
  if (!('notes' in thing) || !Array.isArray(thing.notes)) return thing;
  return { ...thing, notes: thing.notes.map(({ id: _, ...note }: { id: unknown }) => note) };
}
