import { FRAME } from './network-shape';
import type { Named } from './techniques';

/** A bend that comes so near to a pitch that sounds is lost in it, in semitones. */
const LOST = 0.9;
/** That pitch sounds on at least so long, in seconds. */
const ON = 0.08;
/** Frames over which a bend still rises at its end, and how far, in semitones. */
const LAST = 6;
const RISES = 0.15;

/**
 * Bends up to a note that sounds on another string: two strings on one pitch are heard as one, so that the bend is lost
 * before it arrives. It is brought to the end: it arrives, and sounds as long as that note, or until the hand goes on to
 * another: a drone outlasts each of the bends up to it.
 */
export function toUnisons(notes: readonly Named[]): readonly Named[] {
  return notes.map((n) => {
    const goal = n.bend?.shape === 'bend' ? goalOf(n, notes) : undefined;
    if (goal === undefined || n.bend === undefined) return n;
    const from = n.frames.at(-1)!;
    const slope = (n.midi.at(-1)! - n.midi.at(-1 - LAST)!) / LAST;
    const next = notes.find((q) => q !== n && q !== goal && q.onset >= n.end);
    const end = Math.min(goal.end, next?.onset ?? goal.end);
    const count = Math.max(1, Math.round((end - n.end) / FRAME));
    const on = Array.from({ length: count }, (_, i) =>
      Math.min(goal.pitch, n.midi.at(-1)! + slope * (i + 1)),
    );
    return {
      ...n,
      end,
      frames: [...n.frames, ...on.map((_, i) => from + i + 1)],
      midi: [...n.midi, ...on],
      bend: { ...n.bend, semitones: n.bend.semitones + goal.pitch - n.midi.at(-1)! },
    };
  });
}

function goalOf(n: Named, notes: readonly Named[]): Named | undefined {
  const last = n.midi.at(-1);
  const before = n.midi.at(-1 - LAST);
  if (last === undefined || before === undefined || last - before < RISES) return undefined;
  return notes.find(
    (q) =>
      q !== n &&
      q.bend === undefined &&
      q.onset < n.end - ON &&
      q.end > n.end + ON &&
      q.pitch > last &&
      q.pitch - last < LOST,
  );
}
