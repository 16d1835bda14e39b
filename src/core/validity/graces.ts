import { openMidi } from '../phrase/instrument';
import type { Grace, Phrase, PhraseEvent } from '../phrase/types';
import type { Findings } from './findings';
import { checkMotion } from './motion';
import { checkFret, checkOrder, checkPitch, NotePlace, type Pointer } from './place';

/** Grace notes: place, pitch, and how each is reached from the one before on its string. */
export function checkGraces(
  p: Phrase,
  events: readonly PhraseEvent[],
  eventIndex: number,
  pointer: Pointer,
  out: Findings,
): void {
  const event = events[eventIndex]!;
  event.graces?.forEach((grace, g) => {
    checkOrder(grace.notes, () => `${pointer()}/graces/${g}/notes`, event, out);
    grace.notes.forEach((note, n) => {
      const where = () => `${pointer()}/graces/${g}/notes/${n}`;
      const place = new NotePlace(p, events, eventIndex, where, note, out);
      if (!checkFret(note, place)) return;
      checkPitch(note.pitch, openMidi(p.instrument, note.string) + note.fret, place);
      if (note.attack === undefined) return;
      const source = graceBefore(event.graces!, g, note.string);
      if (source === null) {
        place.report(
          `a ${note.attack} has no grace note before it on string ${note.string} to start from`,
          'Put a grace note on the same string before it, or pluck it.',
          'attack',
        );
      } else checkMotion(note.attack, source, note.fret, place);
    });
  });
}

function graceBefore(graces: readonly Grace[], index: number, string: number): number | null {
  for (let g = index - 1; g >= 0; g--) {
    const found = graces[g]!.notes.find((n) => n.string === string);
    if (found !== undefined) return found.fret;
  }
  return null;
}
