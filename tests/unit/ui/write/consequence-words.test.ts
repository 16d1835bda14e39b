import { describe, expect, it } from 'vitest';
import { consequencesOf } from '../../../../src/core/edit/consequences';
import { consequenceWords } from '../../../../src/ui/write/consequence-words';
import { build } from '../../../support/build';
import { cursorOn, ordered } from '../../../support/technique';

describe('what follows from a change, in words', () => {
  it('tells what is taken off, and not that every note stays as it is', () => {
    const high = build('w 1/12(tr:G5)', { instrument: { frets: 20 } });
    const words = (frets: number) =>
      consequenceWords(
        consequencesOf(high, ordered(cursorOn(high, 1), 'neck.frets', frets).phrase),
      );
    expect(words(12)).toEqual(['Taken off: trill.']);
    expect(words(15)).toEqual(['Every note stays as it is.']);
  });
});
