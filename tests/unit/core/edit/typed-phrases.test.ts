import { describe, expect, it } from 'vitest';
import { startEditing } from '../../../../src/core/edit/state';
import { emptyPhrase, press } from '../../../support/edit';
import { musicOf, PLAIN_LINES, TYPED_PHRASES } from '../../../support/typed-phrases';

describe('phrases of four bars by keys alone', () => {
  it.each([...TYPED_PHRASES, ...PLAIN_LINES])('$name', ({ keys, expected, notes, plain, name }) => {
    const written = press(startEditing(emptyPhrase()), ...keys).phrase;
    expect(musicOf(written)).toEqual(musicOf(expected));
    const each = keys.length / notes;
    console.info(`${name}: ${keys.length} presses, ${notes} notes, ${each.toFixed(2)} a note`);
    expect(each).toBeLessThanOrEqual(plain ? 2 : 3);
  });
});
