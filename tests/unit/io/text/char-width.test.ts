import { describe, expect, it } from 'vitest';
import { columnsOf, wrapText } from '../../../../src/io/text/char-width';

describe('columns of a text in a terminal (Unicode Standard Annex 11)', () => {
  it.each([
    ['', 0],
    ['plain', 5],
    ['♭7→R', 4],
    ['Grüße', 5],
    ['Gru\u0308ße', 5],
    ['音楽', 4],
    ['a\u200db', 2],
    ['🎸', 2],
  ])('%s takes %i', (text, columns) => {
    expect(columnsOf(text)).toBe(columns);
  });
});

describe('wrapping', () => {
  it('breaks at spaces and keeps every word', () => {
    expect(wrapText('one two  three four', 9)).toEqual(['one two', 'three', 'four']);
  });

  it('fills a line to its last column', () => {
    expect(wrapText('abcd efgh ij', 9)).toEqual(['abcd efgh', 'ij']);
  });

  it('breaks inside a word that is longer than a line', () => {
    expect(wrapText('ab cdefghijk', 4)).toEqual(['ab', 'cdef', 'ghij', 'k']);
  });

  it('counts wide characters as two', () => {
    expect(wrapText('音楽 楽音', 5)).toEqual(['音楽', '楽音']);
  });

  it('gives no line for no word', () => {
    expect(wrapText('  ', 10)).toEqual([]);
  });
});
