import { byString, replaceAt } from '../phrase/rebuild';
import type { Phrase, PhraseEvent } from '../phrase/types';
import { withEvents } from '../phrase/voices';
import type { Problem } from '../result';
import type { TechniqueField } from '../technique/fields';
import { isTechnique, momentTechniques, noteTechniques, techniqueOf } from '../technique/table';
import { valueOfTechnique, without } from '../technique/value';
import { checkPhrase } from './check-phrase';

/** What a phrase looks like after an edit, with what had to give way; or why it cannot be so. */
export type Mended =
  | { readonly ok: true; readonly phrase: Phrase; readonly gaveWay: readonly string[] }
  | { readonly ok: false; readonly problem: Problem };

/** Techniques that may give way when another edit takes away what they need. */
const OF_MOMENTS = momentTechniques((t) => t.givesWay);
const OF_NOTES = noteTechniques((t) => t.givesWay);

/** So many parts give way to one edit at most; more is no mending. */
const MOST = 200;

/**
 * Makes the result of an edit valid. A technique that was there before and has lost what it needs
 * (a hammer-on whose first note was taken away) gives way, and is named. What the edit itself has
 * put there is not taken away: then the edit is what cannot be.
 */
export function mendAfter(before: Phrase, after: Phrase): Mended {
  let phrase = after;
  const gaveWay: string[] = [];
  // Asked only where something must give way: most edits, and most questions whether one could be, need none.
  let had: ReadonlyMap<string, string> | null = null;
  for (let i = 0; i < MOST; i++) {
    const problem = checkPhrase(phrase)[0];
    if (problem === undefined) return { ok: true, phrase, gaveWay };
    had ??= techniquesOf(before);
    const next = withoutTechnique(phrase, problem, had);
    if (next === null) return { ok: false, problem };
    gaveWay.push(next.name);
    phrase = next.phrase;
  }
  return { ok: false, problem: checkPhrase(phrase)[0]! };
}

/** `n3 bend` of every technique, with its value: what stood there before the edit. */
function techniquesOf(p: Phrase): ReadonlyMap<string, string> {
  const all = new Map<string, string>();
  for (const v of p.voices) {
    for (const e of v.events) {
      for (const f of OF_MOMENTS) {
        if (e[f] !== undefined) {
          for (const n of e.notes) all.set(`${n.id} ${f}`, JSON.stringify(e[f]));
        }
      }
      for (const n of e.notes) {
        for (const f of OF_NOTES) {
          const value = valueOfTechnique(n, f);
          if (value !== undefined) all.set(`${n.id} ${f}`, JSON.stringify(value));
        }
      }
    }
  }
  return all;
}

function withoutTechnique(
  p: Phrase,
  problem: Problem,
  had: ReadonlyMap<string, string>,
): { readonly phrase: Phrase; readonly name: string } | null {
  const m = /^\/voices\/([01])\/events\/(\d+)\/(?:notes\/(\d+)\/)?(\w+)/u.exec(
    problem.pointer ?? '',
  );
  if (m === null) return null;
  const voice = m[1] === '1' ? 1 : 0;
  const eventIndex = Number(m[2]);
  const field = m[4]!;
  const event = p.voices[voice]?.events[eventIndex];
  if (event === undefined) return null;
  const note = m[3] === undefined ? null : event.notes[Number(m[3])];
  if (note === undefined) return null;
  const known: readonly TechniqueField[] = note === null ? OF_MOMENTS : OF_NOTES;
  if (!isTechnique(field) || !known.includes(field)) return null;
  const owners = note === null ? event.notes : [note];
  const value = JSON.stringify(valueOfTechnique(note ?? event, field));
  if (!owners.some((n) => had.get(`${n.id} ${field}`) === value)) return null;
  const next: PhraseEvent =
    note === null
      ? without(event, field)
      : { ...event, notes: byString(event.notes.map((n) => (n === note ? without(n, field) : n))) };
  const phrase = withEvents(p, voice, (events) => replaceAt(events, eventIndex, next));
  return { phrase, name: techniqueOf(field).word };
}
