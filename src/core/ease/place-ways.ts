import type { FingeringProblem } from '../neck/problem';
import { otherPlaces } from '../neck/to-place';
import type { NoteId, Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import type { Spot } from './spots';
import type { Proposal } from './types';

/** How many moments on either side may go to other places along with the hard one. */
const ALONG = [1, 2, 4] as const;

/** The same notes at other places: one note on another string, or all around the spot as the search finds best. */
export function placeWays(
  p: Phrase,
  problem: FingeringProblem,
  { moments: [from, to], noteIds }: Spot,
): readonly Proposal[] {
  const before = problem.moments[from - 1]?.struck.map((i) => problem.notes[i]!.id) ?? [];
  const single = [...noteIds, ...before].flatMap((id) =>
    otherPlaces(p, [id]).flatMap(({ phrase }) => (phrase.ok ? [asItLies(phrase.value)] : [])),
  );
  const around = ALONG.map((n): Proposal => {
    const free = freeAround(p, problem, [from - n, to + n]);
    return { kind: 'place', what: null, phrase: p, free };
  });
  return [...single, ...around];
}

/** What may go elsewhere among the moments of a stretch: all that is struck there and not pinned. */
export function freeAround(
  p: Phrase,
  { moments, notes }: FingeringProblem,
  [from, to]: readonly [number, number],
): ReadonlySet<NoteId> {
  const pinned = new Set(notesOf(p).flatMap(({ note }) => (note.pinned ? [note.id] : [])));
  const ids = moments
    .slice(Math.max(0, from), to + 1)
    .flatMap((m) => m.struck.map((i) => notes[i]!.id));
  return new Set(ids.filter((id) => !pinned.has(id)));
}

function asItLies(phrase: Phrase): Proposal {
  return { kind: 'place', what: null, phrase, free: null };
}
