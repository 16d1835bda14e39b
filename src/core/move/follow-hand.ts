import { playableFrets } from '../phrase/instrument';
import { mapEventNotes, mapEvents } from '../phrase/rebuild';
import type { Note, Phrase } from '../phrase/types';
import type { HandTask } from './hand-task';
import { type Mends, moveGraces, onNeck } from './mend';

/** M11: dead notes and rakes keep their strings and follow the hand, by the shift of the notes nearest in time. */
export function followHand(before: Phrase, after: Phrase, mends: Mends): Phrase {
  if (
    before.voices.every((v) => v.events.every((e) => e.notes.every((n) => n.kind === 'pitched')))
  ) {
    return after;
  }
  const shifts = before.voices.flatMap((v, i) =>
    v.events.flatMap((e, k) => {
      const moved = after.voices[i]!.events[k]!;
      const frets = e.notes.flatMap((n) => {
        const m = moved.notes.find((x) => x.id === n.id);
        return n.kind === 'pitched' && m !== undefined && n.fret > 0 ? [m.fret - n.fret] : [];
      });
      return frets.length === 0 ? [] : [{ onset: e.onset, by: median(frets) }];
    }),
  );
  if (shifts.length === 0) return after;
  shifts.sort((a, b) => a.onset - b.onset);
  return mapEvents(after, (e) => {
    if (e.notes.every((n) => n.kind === 'pitched')) return e;
    const by = nearest(shifts, e.onset);
    return mapEventNotes(e, (n): Note => {
      if (n.kind === 'pitched') return n;
      const fret = Math.max(0, Math.min(playableFrets(after.instrument), n.fret + by));
      if (fret !== n.fret + by) {
        mends.addGeneral(
          'M11',
          `a dead note on string ${n.string} stays at fret ${fret}: the neck ends there`,
        );
      }
      return { ...n, fret };
    });
  });
}

function nearest(shifts: readonly { onset: number; by: number }[], onset: number): number {
  return shifts.reduce((a, b) => (Math.abs(b.onset - onset) < Math.abs(a.onset - onset) ? b : a))
    .by;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[(values.length - 1) >> 1]!;
}

/** The phrase with its graces moved (M11); their frets may lie off the neck. */
export function withGraces(t: HandTask, p: Phrase): Phrase {
  if (t.source.voices.every((v) => v.events.every((e) => e.graces === undefined))) return p;
  return mapEvents(p, (e, voice, i) =>
    moveGraces(t.source.voices[voice]!.events[i]!, e, t.plans, p),
  );
}

/** Whether the instrument has the frets of all grace notes. */
export function gracesOnNeck(p: Phrase): boolean {
  return p.voices.every((v) =>
    v.events.every((e) => (e.graces ?? []).every((g) => g.notes.every((n) => onNeck(p, n.fret)))),
  );
}
