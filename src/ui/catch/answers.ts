import type { CaughtTake } from './messages';

/** What was written of a recording, and which of its notes were taken out. */
export interface Answered {
  readonly take: CaughtTake;
  readonly out: ReadonlySet<number>;
}

/** Something by which all was written anew: a note taken out, another rhythm, chords, a tempo. */
interface Answer {
  /** As a button says what it takes back: `take out G4`. */
  readonly words: string;
  readonly before: Answered;
  readonly after: Answered;
  /** Steps of correcting that had been made by then; those that follow are undone first. */
  readonly steps: number;
}

/** The answers that can be taken back, and those that were. */
export interface Answers {
  readonly now: CaughtTake;
  /** Given, and what is written anew by it has not come yet. */
  readonly waiting: Pick<Answer, 'words' | 'before'> | null;
  readonly done: readonly Answer[];
  /** The one that is done again first comes last. */
  readonly undone: readonly Answer[];
}

export const noAnswers = (now: CaughtTake): Answers => ({
  now,
  waiting: null,
  done: [],
  undone: [],
});

export const answered = (a: Answers, words: string, before: Answered): Answers => ({
  ...a,
  waiting: { words, before },
});

/**
 * Something is written now. By an answer that was given it is the newest step; by one that was taken back it goes back; where the
 * fields were written anew there is no way back to what they said before, as there was none.
 */
export function writtenNow(a: Answers, after: Answered, steps: number): Answers {
  const { take } = after;
  if (take === a.now) return a;
  const { waiting, done, undone } = a;
  const [last, next] = [done.at(-1), undone.at(-1)];
  const now = { now: take, waiting: null };
  if (waiting !== null)
    return { ...now, done: [...done, { ...waiting, after, steps }], undone: [] };
  if (last?.before.take === take)
    return { ...now, done: done.slice(0, -1), undone: [...undone, last] };
  if (next?.after.take === take)
    return { ...now, done: [...done, next], undone: undone.slice(0, -1) };
  return noAnswers(take);
}

/** The answer that is taken back next; null where a correction was made since, or nothing was answered. */
export function toTakeBack({ done }: Answers, steps: number): Answer | null {
  const last = done.at(-1);
  return last === undefined || steps > last.steps ? null : last;
}

/** The answer that is given again next; null where corrections come before it. */
export function toGiveAgain({ undone }: Answers, steps: number): Answer | null {
  const next = undone.at(-1);
  return next === undefined || steps < next.steps ? null : next;
}
