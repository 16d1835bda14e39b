import { goalsOfList } from '../practice/goals';
import type { Problem, Result } from '../result';
import { type Key, twelveKeys } from '../theory/key';
import { noDay } from './calendar';
import type { Plan, Turn } from './types';

/** What would make a structurally right plan meaningless, each with its JSON pointer. */
export function checkPlan({ begun, tempo, keys }: Plan): readonly Problem[] {
  const problems: Problem[] = [...noDay(begun, '/begun')];
  if (tempo.from > tempo.to) {
    problems.push({
      message: `the tempo begins at ${tempo.from} % and is to arrive at ${tempo.to} %`,
      fix: 'Begin at the slower one.',
      pointer: '/tempo/from',
    });
  }
  if (keys.kind === 'list') {
    const goals = goalsInSomeKey(keys.text);
    if (!goals.ok) {
      problems.push(
        ...goals.problems.map(({ message, fix }) => ({
          message,
          ...(fix !== undefined && { fix }),
          pointer: '/keys/text',
        })),
      );
    }
  }
  return problems;
}

/**
 * A list is read in the key of each phrase that is practised, which a plan does not know. What some key
 * can read is sound; what none can is told as the first one sees it.
 */
function goalsInSomeKey(text: string): Result<unknown> {
  const all = KEYS.map((key) => goalsOfList(text, key));
  return all.find((read) => read.ok) ?? all[0]!;
}

const KEYS: readonly Key[] = (['major', 'minor', 'blues'] as const).flatMap((mode) =>
  twelveKeys({ tonic: { letter: 'C', alter: 0 }, mode }),
);

/** The same of a turn. */
export function checkTurn({ day }: Turn): readonly Problem[] {
  return noDay(day, '/day');
}
