import { fail, ok, type Result } from '../result';
import { formatKey, type Key, twelveKeys } from '../theory/key';
import { chromaOf, mod } from '../theory/pitch';
import type { Goal } from './goal';

/** The word for every other key of the phrase's mode, round the circle of fourths. */
export const ALL_KEYS = 'all';

/** Results that one action makes at most. */
const MOST = 48;

/**
 * One phrase to several destinations in one action: a chord or a key may be a list with commas
 * (`I7, IV7, V7`), a key also `all`. Where several of the joined moves are lists, each goes with
 * each, the last changing first.
 * @param goals Moves that are joined, in order.
 * @param key Of the phrase.
 * @returns For each result its moves, or which list is too long or has nothing between its commas.
 */
export function spread(goals: readonly Goal[], key: Key): Result<readonly (readonly Goal[])[]> {
  let lists: readonly (readonly Goal[])[] = [[]];
  for (const goal of goals) {
    const choices = choicesOf(goal, key);
    if (goal.text.trim() === '' && (goal.kind === 'chord' || goal.kind === 'key')) {
      return fail({
        message: `which ${goal.kind} to move to is not said`,
        fix:
          goal.kind === 'key'
            ? 'Name a key, such as Eb or F#m.'
            : 'Name a chord, such as IV7 or Bb7.',
      });
    }
    if (choices.some((c) => c.text === '')) {
      return fail({
        message: `there is nothing between two commas in '${goal.text.trim()}'`,
        fix: 'Write a list such as I7, IV7, V7.',
      });
    }
    lists = lists.flatMap((list) => choices.map((c) => [...list, c]));
  }
  if (lists.length <= MOST) return ok(lists);
  return fail({
    message: `that would make ${lists.length} phrases at once, and ${MOST} is the most`,
    fix: 'Move in two goes.',
  });
}

function choicesOf(goal: Goal, key: Key): readonly Goal[] {
  const { kind, text } = goal;
  if (kind !== 'chord' && kind !== 'key') return [goal];
  if (kind === 'key' && text.trim().toLowerCase() === ALL_KEYS) {
    return otherKeys(key).map((k) => ({ kind, text: formatKey(k) }));
  }
  if (!text.includes(',')) return [goal];
  return text.split(',').map((t) => ({ kind, text: t.trim() }));
}

/**
 * Which of several results is meant, in words that follow 'moved': `over IV7 in Eb`; empty where there
 * is only one.
 * @param goals The moves of one of the results of `spread`.
 * @param all The moves of all of them.
 */
export function whichOf(goals: readonly Goal[], all: readonly (readonly Goal[])[]): string {
  const differs = (g: Goal, i: number) => all.some((other) => other[i]?.text !== g.text);
  return goals
    .filter(differs)
    .map((g) => `${g.kind === 'chord' ? 'over' : 'in'} ${g.text}`)
    .join(' ');
}

/** The eleven other keys of a mode, each a fourth above the one before. */
export function otherKeys(key: Key): readonly Key[] {
  const fourths = (k: Key) => mod(5 * (chromaOf(k.tonic) - chromaOf(key.tonic)), 12);
  return twelveKeys(key)
    .slice(1)
    .sort((a, b) => fourths(a) - fourths(b));
}
