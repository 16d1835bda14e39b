import { goalsOfList } from '../practice/goals';
import type { Problem } from '../result';
import { isDay } from './calendar';
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
    const goals = goalsOfList(keys.text, { tonic: { letter: 'C', alter: 0 }, mode: 'major' });
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

/** The same of a turn. */
export function checkTurn({ day }: Turn): readonly Problem[] {
  return noDay(day, '/day');
}

function noDay(day: string, pointer: string): readonly Problem[] {
  return isDay(day)
    ? []
    : [{ message: `the calendar has no day ${day}`, fix: 'Write it as 2026-11-27.', pointer }];
}
