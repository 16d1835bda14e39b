import type { NoteId } from '../../core/phrase/types';
import type { Course } from '../../core/practice/course';
import type { Step } from '../../core/practice/types';
import type { Seconds } from '../../core/sound/types';

/** A step at its place on the clock of what is played through. */
export interface Placed {
  readonly step: Step;
  readonly start: Seconds;
}

/** A step that is heard, and how far into it. */
export interface Heard {
  readonly at: Placed;
  readonly time: Seconds;
}

/** The last sound of a course is given so long to die away. */
const TAIL: Seconds = 0.05;

const endOf = (p: Placed) => p.start + p.step.length;

/** The steps of a course that have been sent and are not over, ascending. */
export class Sent {
  private placed: readonly Placed[];
  /** Nothing follows the last of them. */
  private complete = false;
  /** The round that is heard was good; counts for the next one that has not been sent. */
  good = false;

  constructor(
    private readonly course: Course,
    first: Placed,
  ) {
    this.placed = [first];
  }

  /** What begins before a moment and has not been sent; counts as sent from now on. */
  next(until: Seconds): readonly Placed[] {
    const fresh: Placed[] = [];
    for (let tail = this.placed.at(-1)!; !this.complete && endOf(tail) < until; ) {
      const step = this.course.after(tail.step, this.good);
      if (step === null) {
        this.complete = true;
        break;
      }
      if (step.round !== tail.step.round) this.good = false;
      tail = { step, start: endOf(tail) };
      this.placed = [...this.placed, tail];
      fresh.push(tail);
    }
    return fresh;
  }

  /** What is heard at a moment; before anything is, the first step. */
  at(now: Seconds): Heard {
    const at = this.placed.filter((p) => p.start <= now).at(-1) ?? this.placed[0]!;
    return { at, time: now - at.start };
  }

  /** Whether that is the end of all. */
  isEnd({ at, time }: Heard): boolean {
    return this.complete && at === this.placed.at(-1) && time > at.step.length + TAIL;
  }

  /** Forgets what is over before a step. */
  forgetBefore(at: Placed): void {
    this.placed = this.placed.slice(this.placed.indexOf(at));
  }
}

/** The notes that are heard there. */
export function notesHeard({ at, time }: Heard): readonly NoteId[] {
  return at.step.sounds.flatMap((s) =>
    s.noteId !== null && s.onset <= time && time < s.onset + s.length ? [s.noteId] : [],
  );
}

/** The step in which another round is played; null at the end. */
export function nextRound(course: Course, now: Step): Step | null {
  let next = course.after(now, false);
  while (next !== null && next.round === now.round) next = course.after(next, false);
  return next;
}
