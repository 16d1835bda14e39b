import type { Grace, GraceNote, Note, Phrase, PhraseEvent, Voice } from './types';

/*
 * Phrases, voices, moments and graces made anew from others. What has at least one entry keeps at
 * least one, by its type; what nothing was changed in keeps its identity, so that a comparison of
 * two phrases finds quickly what an edit touched.
 */

/** A list with at least one entry. */
export type NonEmpty<T> = readonly [T, ...T[]];

/** The list where it has an entry; null where it has none. */
export function nonEmpty<T>(list: readonly T[]): NonEmpty<T> | null {
  const [first, ...rest] = list;
  return first === undefined ? null : [first, ...rest];
}

/** Every entry changed. */
export function mapNonEmpty<T, U>(
  [first, ...rest]: NonEmpty<T>,
  change: (x: T, index: number) => U,
): NonEmpty<U> {
  return [change(first, 0), ...rest.map((x, i) => change(x, i + 1))];
}

/** A list with one entry replaced. */
export function replaceAt<T>(list: readonly T[], index: number, entry: T): readonly T[] {
  return list.map((x, i) => (i === index ? entry : x));
}

/**
 * What is struck together, by string.
 * @throws RangeError where it is nothing (programmer's error).
 */
export function byString<T extends { readonly string: number }>(notes: readonly T[]): NonEmpty<T> {
  const sorted = nonEmpty([...notes].sort((a, b) => a.string - b.string));
  if (sorted === null) throw new RangeError('an event has at least one note');
  return sorted;
}

/** The voices changed one by one: as many as before. */
export function mapVoices(
  [first, second]: Phrase['voices'],
  change: (v: Voice, voice: 0 | 1) => Voice,
): Phrase['voices'] {
  return second === undefined ? [change(first, 0)] : [change(first, 0), change(second, 1)];
}

/** The phrase with every event changed, of both voices. */
export function mapEvents(
  p: Phrase,
  change: (e: PhraseEvent, voice: 0 | 1, index: number) => PhraseEvent,
): Phrase {
  const voices = mapVoices(p.voices, (v, voice) => {
    const events = v.events.map((e, i) => change(e, voice, i));
    return same(events, v.events) ? v : { ...v, events };
  });
  return same(voices, p.voices) ? p : { ...p, voices };
}

/** The event with every note changed; the notes are in the order of their strings again. */
export function mapEventNotes(
  e: PhraseEvent,
  change: (n: Note, index: number) => Note,
): PhraseEvent {
  const notes = e.notes.map(change);
  return same(notes, e.notes) ? e : { ...e, notes: byString(notes) };
}

/** The event with every grace note changed; each grace is in the order of its strings again. */
export function mapGraceNotes(
  e: PhraseEvent,
  change: (n: GraceNote, grace: number, index: number) => GraceNote,
): PhraseEvent {
  if (e.graces === undefined) return e;
  const graces = mapNonEmpty(e.graces, (g, i): Grace => {
    const notes = g.notes.map((n, k) => change(n, i, k));
    return same(notes, g.notes) ? g : { notes: byString(notes) };
  });
  return same(graces, e.graces) ? e : { ...e, graces };
}

function same<T>(a: readonly T[], b: readonly T[]): boolean {
  return a.length === b.length && a.every((x, i) => x === b[i]);
}
