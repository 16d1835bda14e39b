import { type Goal, readGoal } from '../move/goal';
import { fail, ok, type Result } from '../result';
import { type Key, parseKey } from '../theory/key';

/** Takes that a list makes at most. */
const MOST = 64;

/**
 * The goals of a list of chords, numerals or keys with commas or spaces between; each is read in a key.
 * @returns Or what is wrong with it.
 */
export function goalsOfList(text: string, key: Key): Result<readonly Goal[]> {
  const words = text.split(/[\s,|]+/u).filter((w) => w !== '');
  if (words.length === 0) {
    return fail({
      message: 'no chord or key is named for the rounds',
      fix: 'Write some with spaces between, such as I IV V or C F Bb.',
    });
  }
  if (words.length > MOST) {
    return fail({
      message: `${words.length} chords or keys are too many for the rounds, ${MOST} is the most`,
      fix: 'Write fewer.',
    });
  }
  const goals = words.map((w): Goal => ({ kind: parseKey(w) === null ? 'chord' : 'key', text: w }));
  const wrong = goals.flatMap((g) => {
    const read = readGoal(g, key);
    return read.ok ? [] : read.problems;
  });
  return wrong.length === 0 ? ok(goals) : fail(...wrong);
}
