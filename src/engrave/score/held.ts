import type { BendPoint, PhraseEvent, PitchedNote, Ticks } from '../../core/phrase/types';

/**
 * Which of a bent note's two pitches sounds at a tick: a note that is tied on stands where it is heard,
 * so that a bend held over the bar line is not read as let go.
 * @param at From the phrase's first tick; the note's first tick counts as its start.
 */
export function soundsBent(note: PitchedNote, event: PhraseEvent, at: Ticks): boolean {
  if (note.bend === undefined || note.bend.shape === 'curl' || at <= event.onset) return false;
  const percent = ((at - event.onset) * 100) / event.duration;
  return amountAt(note.bend.curve, percent) >= 50;
}

function amountAt(curve: readonly BendPoint[], percent: number): number {
  const next = curve.findIndex((c) => c.at >= percent);
  const b = curve[next] ?? curve.at(-1)!;
  const a = curve[next - 1] ?? b;
  if (b.at === a.at) return b.amount;
  return a.amount + ((b.amount - a.amount) * (percent - a.at)) / (b.at - a.at);
}
