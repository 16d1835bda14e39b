import { expect } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import type { Problem } from '../../src/core/result';
import { checkPhrase } from '../../src/core/validity/check-phrase';

/**
 * A copy of the phrase with one value set, or taken out where it is `undefined`.
 * @param pointer JSON pointer of the value; its holder must exist.
 */
export function withValue(p: Phrase, pointer: string, value: unknown): Phrase {
  const copy = structuredClone(p);
  const keys = pointer.split('/').slice(1);
  const last = keys.pop();
  let at = copy as unknown as Record<string, unknown>;
  for (const k of keys) at = at[k] as Record<string, unknown>;
  if (last === undefined) throw new Error('the whole phrase cannot be set');
  if (value === undefined) delete at[last];
  else at[last] = value;
  return copy;
}

export type ExpectedProblem = Pick<Problem, 'pointer' | 'bar' | 'beat' | 'string'> & {
  /** A part of the message that tells this rule from the others. */
  readonly says: string;
};

/** The check finds just this one thing, at just this place, and says what to do. */
export function expectProblem(p: Phrase, expected: ExpectedProblem): void {
  const found = checkPhrase(p);
  const { says, ...place } = expected;
  const places = found.map(({ message: _, fix: __, said: ___, ...rest }) => roundBeat(rest));
  expect(places, found.map((x) => x.message).join('; ')).toEqual([roundBeat(place)]);
  expect(found[0]?.message).toContain(says);
  expect(found[0]?.fix).toMatch(/\.$/);
}

/** Beats are fractions; a tick is about a ten thousandth of one. */
function roundBeat<T extends { readonly beat?: number }>(place: T): T {
  return place.beat === undefined ? place : { ...place, beat: Math.round(place.beat * 1e6) / 1e6 };
}
