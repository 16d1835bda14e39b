import { useState } from 'react';
import { type Answered, answered, noAnswers, toGiveAgain, toTakeBack, writtenNow } from './answers';
import type { Corrections } from './use-corrections';

/** An answer that can be taken back or given again. */
export interface AnswerStep {
  readonly words: string;
  readonly run: () => void;
}

/**
 * The answers by which all is written anew, with their way back: what a key did a key undoes.
 * @param putBack Puts what was written before in the place of what is.
 */
export function useAnswers(
  { take, out }: Answered,
  { all, back, lostSince }: Corrections,
  putBack: (what: Answered) => void,
) {
  const [kept, setKept] = useState(() => noAnswers(take));
  const steps = all.reduce((sum, c) => sum + c.history.done, 0);
  let now = kept;
  if (kept.now !== take) {
    now = writtenNow(kept, { take, out }, steps);
    setKept(now);
  }
  const goTo = (to: Answered) => () => {
    // Corrections that were lost by the answer come back with it.
    putBack(back !== null && lostSince === to.take ? back() : to);
  };
  const last = toTakeBack(now, steps);
  const next = toGiveAgain(now, steps);
  return {
    /** Is called before what answers. */
    given: (words: string) => setKept((a) => answered(a, words, { take, out })),
    undo: last === null ? null : { words: last.words, run: goTo(last.before) },
    redo: next === null ? null : { words: next.words, run: goTo(next.after) },
  };
}
