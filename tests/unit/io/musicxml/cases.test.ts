import { describe, expect, it } from 'vitest';
import { checkPhrase } from '../../../../src/core/phrase/invariants';
import { formatProblem } from '../../../../src/core/result';
import { MUSICXML_CASES } from '../../../support/musicxml-cases';

describe('the hand-written cases', () => {
  it.each(MUSICXML_CASES.map((p) => [p.meta.title, p] as const))('%s is valid', (_, p) => {
    expect(checkPhrase(p).map(formatProblem)).toEqual([]);
  });
});
