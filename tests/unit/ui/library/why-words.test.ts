import { expect, it } from 'vitest';
import { whyFound } from '../../../../src/core/search/define/why';
import { readQuery } from '../../../../src/core/search/query/read';
import { placesFound } from '../../../../src/ui/library/why-words';
import { build } from '../../../support/build';

it('says of a bend from where to where, since either may be what was looked for', () => {
  const phrase = build('q 3/5 3/7(bend:Eb4)', { key: 'F', chords: 'F7' });
  const places = (text: string) => {
    const read = readQuery(text);
    if (!read.ok) throw new Error('a query');
    return placesFound(whyFound(read.value.query, phrase));
  };
  expect(places('5 .. 6')).toBe('Bar 1: 5 6→♭7');
  expect(places('5 b7')).toBe('Bar 1: 5 6→♭7');
  expect(places('first:5')).toBe('Bar 1: 5');
});
