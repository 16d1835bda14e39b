import type { Problem, Result } from '../../../core/result';
import type { FoundIds } from './search-client';

/** What the index has said so far. */
export interface Heard {
  readonly answer: FoundIds | null;
  /** The last that was whole, which stays while a text is wrong, and what it answers. */
  readonly whole: FoundIds | null;
  readonly of: string | null;
  readonly problem: Problem | null;
  readonly partly: boolean;
}

export const NOTHING_HEARD: Heard = {
  answer: null,
  whole: null,
  of: null,
  problem: null,
  partly: false,
};

/**
 * How the answer to something begins. Where the same was answered before the library changed, that stays until all is
 * known: a list that became short for a moment would lose the place where somebody reads.
 */
export function beginningHeard(h: Heard, asked: string, answer: FoundIds): Heard {
  const { whole, of } = h;
  return of === asked
    ? { ...h, answer: whole, problem: null, partly: false }
    : { ...h, answer, problem: null, partly: true };
}

/** All of an answer; what is wrong with a text leaves the answer of the text before. */
export function answerHeard(h: Heard, asked: string, found: Result<FoundIds>): Heard {
  return found.ok
    ? { answer: found.value, whole: found.value, of: asked, problem: null, partly: false }
    : { ...h, answer: h.whole, problem: found.problems[0] ?? null, partly: false };
}
