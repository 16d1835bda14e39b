import type { NoteId, Phrase, Place, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { isOutside } from './hand-bars';
import { keyOf } from './on-neck';

/** What a move did to the places of a stretch of a phrase. */
export interface MovedPlaces {
  /** From where notes were to where they are, each way once; what stays where it is is left out. */
  readonly ways: readonly (readonly [from: Place, to: Place])[];
  /** Notes that lie elsewhere, notes that stay, and notes that are gone. */
  readonly moved: number;
  readonly stayed: number;
  readonly gone: number;
  /** The same stretch in the phrase that was moved: another one where it begins on another beat. */
  readonly within: readonly [Ticks, Ticks] | undefined;
}

/**
 * Follows each note of a phrase to where a move has put it.
 * @param within Only notes that begin there in `before`, the end not included; all when absent.
 */
export function movedPlaces(
  before: Phrase,
  after: Phrase,
  within?: readonly [Ticks, Ticks],
): MovedPlaces {
  const now = new Map<NoteId, { readonly place: Place; readonly onset: Ticks }>(
    notesOf(after).map(({ note, onset }) => [note.id, { place: note, onset }]),
  );
  const ways = new Map<string, readonly [Place, Place]>();
  let [moved, stayed, gone] = [0, 0, 0];
  let later: Ticks | null = null;
  for (const { note, onset } of notesOf(before)) {
    const to = now.get(note.id);
    if (to !== undefined) later ??= to.onset - onset;
    if (isOutside(onset, within)) continue;
    if (to === undefined) gone++;
    else if (keyOf(to.place) === keyOf(note)) stayed++;
    else {
      moved++;
      ways.set(`${keyOf(note)} ${keyOf(to.place)}`, [note, to.place]);
    }
  }
  const by = later ?? 0;
  return {
    ways: [...ways.values()],
    moved,
    stayed,
    gone,
    within: within === undefined ? undefined : [within[0] + by, within[1] + by],
  };
}
