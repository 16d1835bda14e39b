import { describe, expect, it } from 'vitest';
import { choicesOf } from '../../../../src/core/library/choices';
import { factsOf } from '../../../../src/core/library/facts';
import { byStretch } from '../../../../src/core/search/query/by-stretch';
import { completeQuery } from '../../../../src/core/search/query/complete';
import { readQuery } from '../../../../src/core/search/query/read';
import { writeQuery } from '../../../../src/core/search/query/write';
import { Dice } from '../../../support/generate/dice';
import { seededPhrase } from '../../../support/generate/phrase';
import { randomSearch } from '../../../support/queries';
import { readSamples } from '../../../support/samples';

function canonical(text: string): string {
  const read = readQuery(text);
  if (!read.ok) throw new Error(`${text}: ${read.problems[0]!.message}`);
  return writeQuery(read.value);
}

describe('a change that nothing ends with', () => {
  const instead = (text: string) => {
    const read = readQuery(text);
    const query = read.ok ? byStretch(read.value.query) : null;
    return query === null ? null : writeQuery({ query, order: null });
  };

  it.each([
    ['fits:V>I', 'V>I'],
    ['fits:ii7>V7 level:1..2 not with:bend', 'ii7>V7 level:1..2 not with:bend'],
    ['easy (fits:V>I or fits:IV)', 'easy (V>I or fits:IV)'],
    ['not fits:V>I', 'not V>I'],
    ['fits:IV7', null],
    ['V>I', null],
    ['', null],
  ])('%s is asked for as one that occurs: %s', (text, expected) => {
    expect(instead(text)).toBe(expected);
  });
});

describe('the query language', () => {
  it.each([
    ['5 6 ♭7 over IV with:slide', '5 6 b7 over IV with:slide'],
    ['5-6-b7', '5 6 b7'],
    ['b3, b7', 'b3, b7'],
    ['5 … ↑b7+bend', '5 .. >b7+bend'],
    ['level 2  4 bars', 'level:2 bars:4'],
    ['5 6 4 bars', '5 6 bars:4'],
    ['not not slide', 'slide'],
    ['(a or (b or c)) d', '(a or b or c) d'],
    ['not (a b)', 'not (a b)'],
    ['I7→IV7', 'I7>IV7'],
    ['key:g-blues KEY:Am key:minor', 'key:G-blues key:A-minor key:minor'],
    ['title:"Five stairs" "or"', 'title:"five stairs" "or"'],
    ['chord:C-7', 'chord:Cm7'],
    ['easy order:-level', 'easy order:-level'],
    ['tempo:80-120 frets:..5 notes:8..', 'tempo:80..120 frets:0..5 notes:8..'],
    ['rhythm:q.e3rq-s', 'rhythm:q.-e3-rq-s'],
    ['intervals:+2-0', 'intervals:+2+0'],
    ['C7(b9,#11)', '"c7(b9,#11)"'],
    ["Chalk down the Sixth's 2:1", "chalk down the sixth's 2:1"],
    ['quarter = 104.5', 'tempo:104.5'],
    ['quarter = 0', '"quarter" = 0'],
    ['', ''],
  ])('reads %s', (text, again) => expect(canonical(text)).toBe(again));

  it.each([
    ['5 6 with:bnd', 10, "'bnd' is no technique"],
    ['5 6 ..', 5, 'a row of degrees cannot end with ..'],
    ['.. 5', 1, 'a row of degrees cannot begin with ..'],
    ['>5 6', 1, 'the first degree of a row has none before it to be higher or lower than'],
    ['5 b7+bnd', 6, "'bnd' is no technique"],
    ['5 6 over Xy', 10, "'Xy' is neither a chord symbol nor a numeral"],
    ['5 6 over', 9, 'the chord is missing after over'],
    ['a or', 5, 'there is nothing after or'],
    ['or a', 1, 'there is nothing before or'],
    ['not', 4, 'what must not be there is missing after not'],
    ['(a', 1, 'this parenthesis is not closed'],
    ['a)', 2, 'this parenthesis closes none'],
    ['( )', 3, 'there is nothing in the parentheses'],
    ['tag:"blues', 5, 'this quote is not closed'],
    ['tag:"  "', 6, 'the value is missing after tag:'],
    ['a in:\u0301"for"', 6, 'the value is missing after in:'],
    ['level:9', 7, '9 is no value of level'],
    ['bars:4..2', 6, 'no number is at least 4 and at most 2'],
    ['titel:ferry', 1, "there is no 'titel:'"],
    ['key:H', 5, "'H' is no key"],
    ['rhythm:e-z', 10, "'z' is no note value"],
    ['contour:>^', 10, "'^' says no direction"],
    ['I7>X', 4, "'X' is neither a chord symbol nor a numeral"],
    ['order:level order:key', 13, 'a second order is named'],
    ['order:size', 7, "'size' is no order"],
  ])('tells the place in %s', (text, column, message) => {
    const read = readQuery(text);
    expect(read.ok ? null : read.problems).toMatchObject([{ column, message }]);
    expect(read.ok ? '' : read.problems[0]!.fix).not.toBe('');
  });

  it('gives back what it has written', () => {
    const phrases = Array.from({ length: 12 }, (_, i) => seededPhrase(i));
    for (let seed = 0; seed < 400; seed++) {
      const d = new Dice(seed, 900);
      const search = randomSearch(d, d.pick(phrases));
      const text = writeQuery(search);
      const read = readQuery(text);
      expect(read.ok ? read.value : read.problems, text).toEqual(search);
    }
  });

  it('completes the word under the caret with what the library has', () => {
    const choices = choicesOf(readSamples().map((s) => factsOf(s.phrase)));
    const offers = (text: string) => completeQuery(text, text.length, choices).map((c) => c.text);
    expect(offers('slide wit')).toEqual(['with:']);
    expect(offers('with:pre')).toEqual(['with:pre-bend']);
    expect(offers('5 6 b7 ov')).toEqual(['over']);
    expect(offers('slide ov')).toEqual([]);
    expect(offers('5 6 b7 overr')).toEqual(['over']);
    expect(offers('slide overr')).toEqual([]);
    expect(offers('titel')).toEqual(['title:']);
    expect(offers('IV')).toEqual(['IV7', 'IVmaj7']);
    expect(offers('5 6 b7 over ii')).toEqual(['ii7', 'iii7', 'iii']);
    expect(offers('I7>bVI')).toEqual(['I7>bVI7', 'I7>bVII7', 'I7>bVII']);
    expect(offers('meter:1')).toEqual(['meter:12/8']);
    expect(offers('fits:V')).toEqual(['fits:V7']);
    expect(offers('fits:ii7>V')).toEqual(['fits:ii7>V7']);
    const named = { ...choices, styles: [{ style: 'Late River Trio', count: 2 }] };
    expect(completeQuery('style:la', 8, named).map((c) => c.text)).toEqual([
      'style:"late river trio"',
    ]);
    expect(offers('ben')).toContain('with:bend');
    expect(offers('key:g')).toContain('key:G-blues');
    expect(offers('"with')).toEqual([]);
    for (const text of [
      '',
      'b',
      'r',
      'I',
      'tag:',
      'key:',
      'chord:',
      'fits:',
      'meter:',
      'style:',
      'first:',
      'level:',
      'order:',
    ]) {
      for (const offer of offers(text)) {
        const whole = offer.endsWith(':') || ['or', 'not', 'over'].includes(offer);
        expect(whole || readQuery(offer).ok, offer).toBe(true);
      }
    }
  });
});
