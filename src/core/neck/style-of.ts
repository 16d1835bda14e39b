import type { Phrase } from '../phrase/types';
import type { FingeringStyle } from './costs';

/** The weight set that fits a phrase (N4): letters for picking fingers, many chords, or a line. */
export function styleOf(p: Phrase): FingeringStyle {
  const events = p.voices.flatMap((v) => v.events);
  if (events.some((e) => e.notes.some((n) => n.kind === 'pitched' && n.pluck !== undefined))) {
    return 'fingerstyle';
  }
  const chords = events.filter((e) => e.notes.length > 2).length;
  return chords * 3 >= events.length && chords > 0 ? 'chordal' : 'lead';
}
