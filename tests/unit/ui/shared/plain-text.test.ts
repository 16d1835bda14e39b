import { expect, it } from 'vitest';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { plainLine, plainLines } from '../../../../src/ui/shared/plain-text';
import { readTags } from '../../../../src/ui/shared/tags-field';
import { emptyPhrase } from '../../../support/edit';

it('what is pasted is made into what a phrase can keep, and plain text stays as it is', () => {
  expect(plainLine('Mill\tRace\u0007 № 2 🎸')).toBe('Mill Race  № 2 🎸');
  expect(plainLines('one\r\ntwo\tthree\u000bfour')).toBe('one\ntwo\tthree four');
  const { meta } = emptyPhrase();
  // All that is no letter, and the halves of letters, each between two letters.
  for (const [from, to] of [
    [0, 0xa1],
    [0xd7ff, 0xd820],
    [0xdbf0, 0xdc10],
    [0xdff0, 0xe001],
    [0xfff0, 0xffff],
  ] as const) {
    const codes = Array.from({ length: to - from + 1 }, (_, i) => from + i);
    const pasted = codes.map((c) => `a${String.fromCharCode(c)}`).join('');
    const title = plainLine(pasted);
    const tags = readTags(pasted);
    const notes = plainLines(pasted);
    const phrase = emptyPhrase({ meta: { ...meta, title, styleOf: title, tags, notes } });
    expect(checkPhrase(phrase)).toEqual([]);
  }
  // A tag that is cut inside an emoji.
  const [tag] = readTags(`${'a'.repeat(99)}🎸`);
  expect(tag).toBe('a'.repeat(99));
});
