import type { NoteId, Phrase, Ticks } from '../phrase/types';

/** A moment of a line at which nothing is printed but a rest, or what is to be filled in. */
export const NO_NOTES = '.';
/** Notes that are not named: their degrees are asked, or there is no chord. */
export const NO_DEGREES = '-';

/**
 * What the notes of a line are as an attribute of it, moment by moment: `♭3 . 5+3`.
 * @param onsets The moments, in the order of the line.
 * @param named The degree of a note; null where it is not told.
 */
export function lineNotesText(
  p: Phrase,
  onsets: readonly Ticks[],
  named: (id: NoteId) => string | null,
): string {
  const at = new Map<Ticks, NoteId[]>();
  for (const { events } of p.voices) {
    for (const e of events) {
      at.set(e.onset, [...(at.get(e.onset) ?? []), ...e.notes.map((n) => n.id)]);
    }
  }
  return onsets
    .map((onset) => {
      const notes = at.get(onset);
      if (notes === undefined) return NO_NOTES;
      const names = notes.flatMap((id) => named(id) ?? []);
      return names.length === 0 ? NO_DEGREES : names.join('+');
    })
    .join(' ');
}
