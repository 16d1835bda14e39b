import { describe, expect, it } from 'vitest';
import { formatProblem } from '../../../../src/core/result';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { MUSICXML_CASES } from '../../../support/musicxml-cases';

describe('the hand-written cases', () => {
  it.each(MUSICXML_CASES.map((p) => [p.meta.title, p] as const))('%s is valid', (_, p) => {
    expect(checkPhrase(p).map(formatProblem)).toEqual([]);
  });
});
