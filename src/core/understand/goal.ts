import type { Ticks } from '../phrase/types';
import { TICKS_PER_QUARTER } from '../phrase/types';
import type { NoteAt } from '../phrase/walk';
import { endOf } from '../phrase/walk';
import { midiOf, type Pitch } from '../theory/pitch';

/** A goal starts within a quarter of the end of the note that leads to it (D4). */
export const GOAL_REACH: Ticks = TICKS_PER_QUARTER;

/** What the search for a goal has to know of each note. */
export interface GoalNote {
  readonly at: NoteAt;
  readonly heard: Pitch;
  /** Lies in its own owner's home scale. */
  readonly inScale: boolean;
  /** A 3 over a power chord: at home for the ♭3 that leads to it, and for nothing else (M4). */
  readonly powerThird?: boolean;
}

/**
 * The goal of a note (D4): the next note in its voice that lies in its own owner's home scale and
 * starts within a quarter of this note's end; notes outside their scale are skipped, so that the
 * first note of an enclosure finds the note enclosed. In a double stop the one on the same string,
 * else the nearest in pitch.
 * @param thirds Whether the 3 over a power chord counts, too.
 * @param later Notes of the same voice grouped by event, in order, after this note's event.
 */
export function findGoal<N extends GoalNote>(
  from: N,
  later: Iterable<readonly N[]>,
  thirds = false,
): N | null {
  const latest = endOf(from.at.event) + GOAL_REACH;
  for (const group of later) {
    const first = group[0];
    if (first === undefined) continue;
    if (first.at.onset > latest) return null;
    const goals = group.filter((n) => n.inScale || (thirds && n.powerThird === true));
    if (goals.length === 0) continue;
    const same = goals.find((n) => n.at.note.string === from.at.note.string);
    if (same !== undefined) return same;
    const here = midiOf(from.heard);
    return goals.reduce((best, n) =>
      Math.abs(midiOf(n.heard) - here) < Math.abs(midiOf(best.heard) - here) ? n : best,
    );
  }
  return null;
}
