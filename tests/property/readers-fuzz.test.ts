import { describe, expect, it } from 'vitest';
import { fuzzCase, READERS, readCase } from '../support/fuzz';

/** Cases; `tests/scripts/fuzz.ts` reads as many as one likes. */
const CASES = 2_000;

describe('files that were changed at random', () => {
  it.each(READERS)('are taken whole or refused with a reason: %s', (reader) => {
    let taken = 0;
    let refused = 0;
    for (let number = READERS.indexOf(reader); number < CASES; number += READERS.length) {
      try {
        if (readCase(fuzzCase(number))) taken++;
        else refused++;
      } catch (e) {
        throw new Error(`case ${number}`, { cause: e });
      }
    }
    // Neither is rare, so that both ways are tried.
    expect(Math.min(taken, refused)).toBeGreaterThan(10);
  });
});
