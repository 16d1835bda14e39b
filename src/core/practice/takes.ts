import { changesAt } from '../move/changes';
import { type Goal, readGoal } from '../move/goal';
import { movePhrase } from '../move/move';
import { otherKeys } from '../move/several';
import type { Phrase } from '../phrase/types';
import { fail, ok, type Problem, type Result } from '../result';
import { formatKey, twelveKeys } from '../theory/key';
import { goalsOfList } from './goals';
import type { Cycle, LeftOut, Take } from './types';

/** The phrase in every key or over every chord of a cycle; each is moved when it is asked for. */
export interface Takes {
  /** Takes of the cycle, those included that cannot be played. */
  readonly count: number;
  /** The take at a place of the cycle; counted on from the beginning behind the last. */
  readonly at: (place: number) => Take | LeftOut;
}

/** Whether a take can be played. */
export function isTake(t: Take | LeftOut): t is Take {
  return 'phrase' in t;
}

/**
 * The takes of a cycle, all moved from the phrase itself and never from one another, so that nothing
 * drifts. A key is reached with every interval kept, a chord with every role kept (M2).
 * @returns Or what is wrong with the list, or why none of it can be played.
 */
export function takesOf(p: Phrase, cycle: Cycle): Result<Takes> {
  const goals = goalsOf(p, cycle);
  if (!goals.ok) return goals;
  const list = goals.value;
  const made = new Map<number, Take | LeftOut>();
  const at = (place: number) => {
    const i = place % list.length;
    const known = made.get(i);
    if (known !== undefined) return known;
    const take = takeOf(p, list[i]!);
    made.set(i, take);
    return take;
  };
  const takes = { count: list.length, at };
  if (cycle.kind !== 'list') return ok(takes);
  const all = list.map((_, i) => at(i));
  if (all.some(isTake)) return ok(takes);
  return fail(...all.flatMap((t): Problem[] => (isTake(t) ? [] : [problemOf(t)])));
}

function problemOf(t: LeftOut): Problem {
  return {
    message: `'${t.goal.text}': ${t.why}`,
    fix: 'Choose other chords or keys.',
  };
}

/** Where the takes of a cycle go; null stands for the phrase as it is. */
export function goalsOf(p: Phrase, cycle: Cycle): Result<readonly (Goal | null)[]> {
  const toKey = (text: string): Goal => ({ kind: 'key', text });
  switch (cycle.kind) {
    case 'same':
      return ok([null]);
    case 'fourths':
      return ok([null, ...otherKeys(p.key).map((k) => toKey(formatKey(k)))]);
    case 'semitones':
      return ok([
        null,
        ...twelveKeys(p.key)
          .slice(1)
          .map((k) => toKey(formatKey(k))),
      ]);
    case 'list':
      return goalsOfList(cycle.text, p.key);
  }
}

/** A phrase moved to one place of a cycle; null leaves it as it is. */
export function takeOf(p: Phrase, goal: Goal | null): Take | LeftOut {
  if (goal === null) return { goal, phrase: p, changes: [] };
  const to = readGoal(goal, p.key);
  if (!to.ok) return { goal, why: to.problems[0]!.message };
  const moved = movePhrase(p, { to: to.value });
  if (!moved.ok) return { goal, why: moved.problems[0]!.message };
  const { phrase, report } = moved.value;
  const broken = report.unplayable[0];
  if (broken !== undefined) return { goal, why: broken };
  return { goal, phrase, changes: changesAt(phrase, report) };
}
