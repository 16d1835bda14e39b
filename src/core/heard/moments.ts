import type { HeardNote } from './types';

/** What is struck at one moment, with the graces that lead to it. */
export interface HeardMoment {
  /** Seconds. */
  readonly onset: number;
  readonly notes: readonly HeardNote[];
  /** In playing order. */
  readonly graces: readonly HeardNote[];
}

/** From string to string a strum takes at most so long, and so long in all, in seconds (ours). */
const STEP = 0.028;
const WHOLE = 0.085;
/** A note no longer than this that the next one is slurred from may be its grace, in seconds. */
const GRACE = 0.1;
/** And no longer than this share of a beat. */
const GRACE_SHARE = 0.21;
/** Where both are plucked it must be shorter and near in pitch: seconds, share of a beat, semitones. */
const PLUCKED = { longest: 0.092, share: 0.13, far: 3.4 };

/**
 * Notes as a player thinks of them: strings struck together are one moment, and a short note that goes
 * over into the next on its string leads to it and has no time of its own.
 * @param beat Seconds of a beat.
 * @param onGrid How far beside the grid a moment lies, in seconds.
 */
export function momentsOf(
  notes: readonly HeardNote[],
  beat: number,
  onGrid: (at: number) => number,
): readonly HeardMoment[] {
  const struck: HeardNote[][] = [];
  for (const n of notes) {
    const group = struck.at(-1);
    const last = group?.at(-1);
    const together =
      group !== undefined &&
      last !== undefined &&
      n.onset - last.onset <= STEP &&
      n.onset - group[0]!.onset <= WHOLE &&
      n.attack !== 'slide' &&
      group.every((m) => Math.abs(m.pitch - n.pitch) > 0.6);
    if (together) group.push(n);
    else struck.push([n]);
  }
  const out: HeardMoment[] = [];
  const most = Math.min(GRACE, GRACE_SHARE * beat);
  for (const group of struck) {
    const onset = group[0]!.onset;
    const before = out.at(-1);
    const leads =
      before !== undefined &&
      before.notes.length === 1 &&
      group.length === 1 &&
      isLedTo(before.notes[0]!, group[0]!, beat) &&
      onset - before.onset <= most &&
      before.notes[0]!.bend === undefined &&
      before.notes[0]!.attack === 'pluck';
    if (!leads) {
      out.push({ onset, notes: group, graces: [] });
      continue;
    }
    out.pop();
    // Players put graces before the beat or on it: what lies nearer the grid is meant.
    const at = onGrid(before.onset) <= onGrid(onset) ? before.onset : onset;
    out.push({ onset: at, notes: group, graces: [...before.graces, ...before.notes] });
  }
  return out;
}

/** Whether one note leads to the next as its grace, as far as their attacks tell. */
function isLedTo(grace: HeardNote, n: HeardNote, beat: number): boolean {
  if (n.attack !== 'pluck') return true;
  const time = n.onset - grace.onset;
  const short = time <= PLUCKED.longest && time <= PLUCKED.share * beat;
  return short && Math.abs(n.pitch - grace.pitch) <= PLUCKED.far && n.end - n.onset > 2 * time;
}
