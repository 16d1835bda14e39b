import type { Bend, Phrase } from '../phrase/types';
import { mapNotes } from '../phrase/walk';
import type { Pitch } from '../theory/pitch';
import { adapted, type MovePlan, type NotePlan } from './plan';
import type { Suggestion } from './request';

/** The suggestions of *hold* become part of the plan (M1). */
export function applySuggestions(plan: MovePlan, suggestions: readonly Suggestion[]): MovePlan {
  const byId = new Map(suggestions.map((s) => [s.id, s]));
  const notes = plan.notes.map((n): NotePlan => {
    const s = byId.get(n.reading.note.id);
    if (s === undefined) return n;
    if (s.pitch !== undefined) return lower(n, s.pitch, s.text);
    if (s.bendTo === undefined) return n;
    return {
      ...n,
      target: s.bendTo,
      adaptations: [...n.adaptations, adapted('M6', s.text, false)],
    };
  });
  return { ...plan, notes, byId: new Map(notes.map((n) => [n.reading.note.id, n])) };
}

/** The heard pitch is what a suggestion changes: the target of a bend, whose start follows by M10. */
function lower(n: NotePlan, pitch: Pitch, why: string): NotePlan {
  const adaptations = [...n.adaptations, adapted('M6', why, false)];
  return n.target === null
    ? { ...n, start: pitch, adaptations }
    : { ...n, target: pitch, adaptations };
}

/** The frame with the bends that suggestions add. */
export function withBends(frame: Phrase, suggestions: readonly Suggestion[]): Phrase {
  const byId = new Map(suggestions.map((s) => [s.id, s]));
  return mapNotes(frame, ({ note }) => {
    const to = byId.get(note.id)?.bendTo;
    if (note.kind === 'dead' || to === undefined) return note;
    const bend: Bend = {
      shape: 'bend',
      target: to,
      curve: [
        { at: 0, amount: 0 },
        { at: 50, amount: 100 },
        { at: 100, amount: 100 },
      ],
    };
    return { ...note, bend };
  });
}
