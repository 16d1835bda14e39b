import { distance } from 'fastest-levenshtein';
import { describe, expect, it } from 'vitest';
import { factsOf } from '../../../../src/core/library/facts';
import { sheetOf } from '../../../../src/core/search/catalogue/sheet';
import { whyFound } from '../../../../src/core/search/define/why';
import { Finder } from '../../../../src/core/search/finder';
import { readQuery } from '../../../../src/core/search/query/read';
import { bareWord } from '../../../../src/core/search/query/wordings';
import { build } from '../../../support/build';
import { seededPhrase } from '../../../support/generate/phrase';
import { readSamples } from '../../../support/samples';

const first = build('q 3/5(bend:D4) 3/4 2/6=F 1/3', {
  id: 'first',
  title: 'Five to the Pier',
  key: 'G blues',
  chords: 'G7 | C7',
  feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
  meta: { tags: ['turnaround'], level: 1 },
});
const second = build('h 3/7 2/8 | w 2/8(ring)', {
  id: 'second',
  title: 'Vivid Lamp',
  key: 'C',
  chords: 'Fmaj7 | Dm7',
  meta: { tags: ['over the IV'], level: 2 },
});
const third = build('q 3/7 2/8', {
  id: 'third',
  title: 'Iron Quay',
  key: 'Cm',
  chords: 'Cm7',
  meta: { tags: [], level: 5 },
});
const finder = new Finder(distance);
for (const p of [first, second, third]) finder.put(sheetOf(p));
const BY_LEVEL = { chosen: 'level', usual: 'title' } as const;
const ask = (text: string) => {
  const found = finder.ask(text, BY_LEVEL);
  if (!found.ok) throw new Error(found.problems[0]?.message);
  return found.value;
};

describe('the field that finds', () => {
  it.each([
    ['first steps', ['first']],
    ['level 2', ['second']],
    ['"2, easy"', ['second']],
    ['hard', ['third']],
    ['I7', ['first']],
    ['IV7', ['first']],
    ['IV', ['first', 'second']],
    ['IVmaj7', ['second']],
    ['ii', ['second']],
    ['ii7', ['second']],
    ['II', []],
    ['i', ['third']],
    ['I', ['first']],
    ['V', []],
    ['iv', []],
    ['Vivid', ['second']],
    ['Iron', ['third']],
    ['bend', ['first']],
    ['bent', ['first']],
    ['let ring', ['second']],
    ['shuffle', ['first']],
    ['straight', ['second', 'third']],
    ['shuffle IV7 bend', ['first']],
    ['straight bend', []],
    ['2 bars', ['second']],
    ['easy IV', ['second']],
    ['G7', ['first']],
  ])('finds %s', (words, ids) => {
    expect(ask(words).ids).toEqual(ids);
  });

  it('finds every sample by what its card prints: level, key, chords, degrees, tags and feel', () => {
    for (const { name, phrase } of readSamples()) {
      const facts = factsOf(phrase);
      const quoted = [facts.title, ...facts.tags].map((w) => `"${w.replaceAll(/["\\]/gu, '')}"`);
      const words = [
        ...quoted,
        `${phrase.key.tonic.letter}`,
        phrase.key.mode,
        ...facts.chords.slice(0, 3),
        facts.level === null ? '' : `level ${facts.level}`,
        `${facts.bars} ${facts.bars === 1 ? 'bar' : 'bars'}`,
      ].join(' ');
      const alone = new Finder();
      alone.put(sheetOf(phrase));
      const found = alone.ask(words);
      expect(found.ok && found.value.ids, `${name}: ${words}`).toEqual([phrase.id]);
    }
  });

  it('mends slips only where nothing says the word, and tells', () => {
    expect(ask('viivd')).toMatchObject({
      ids: ['second'],
      instead: [{ typed: 'viivd', words: ['vivid'] }],
      asked: 'vivid',
    });
    expect(ask('viivd viivd').instead).toEqual([{ typed: 'viivd', words: ['vivid'], alone: true }]);
    expect(ask('not vivd').instead).toEqual([]);
    expect(ask('title:iorn quai or title:piier').ids).toEqual(['first', 'third']);
    expect(ask('xyzzy').ids).toEqual([]);
    // What is gone is no word any more.
    const forgetful = new Finder(distance);
    forgetful.put(sheetOf(second));
    forgetful.delete('second');
    const none = forgetful.ask('vivd');
    expect(none.ok && none.value.instead).toEqual([]);
  });

  it('tells of what was typed, also where the word in its place is mended once more', () => {
    const two = new Finder(distance);
    const named = (id: string, title: string) => ({ ...first, id, meta: { ...first.meta, title } });
    two.put(sheetOf(named('a', 'Parting tide')));
    two.put(sheetOf(named('b', 'Darting stone')));
    const found = two.ask('patring stone');
    expect(found.ok && [found.value.ids, found.value.instead]).toEqual([
      ['b'],
      [{ typed: 'patring', words: ['darting'], alone: false }],
    ]);
  });

  it('tells which order a text names', () => {
    expect(ask('vivid').named).toBeNull();
    expect(ask('vivid order:-level').named).toEqual({ by: 'level', reversed: true });
  });

  it('takes a word of many signs in one pass', () => {
    const row = `a${'-'.repeat(300_000)}b`;
    expect(bareWord(`"${row}".`)).toBe(row);
    expect(['"key",', '(f#)', '###', '', '…x'].map(bareWord)).toEqual(['key', 'f#', '', '', 'x']);
  });

  it('tells the character at which a text is wrong', () => {
    expect(finder.ask('iron level:9')).toMatchObject({ ok: false, problems: [{ column: 12 }] });
  });

  it('says why: notes by bar, and the fields that say a word', () => {
    const read = readQuery('b7 lamp');
    if (!read.ok) throw new Error('a query');
    const why = whyFound(read.value.query, first);
    expect(why.notes.size).toBe(0);
    const both = readQuery('pier 4');
    if (!both.ok) throw new Error('a query');
    expect(whyFound(both.value.query, first)).toMatchObject({
      said: [{ text: 'pier', fields: ['title'] }],
    });
  });

  it('says of a bend from where to where, since either may be what was looked for', () => {
    const bent = build('q 3/5 3/7(bend:Eb4)', { id: 'b', key: 'F', chords: 'F7' });
    const read = readQuery('5 6');
    if (!read.ok) throw new Error('a query');
    const why = whyFound(read.value.query, bent);
    expect(why.spots).toMatchObject([
      {
        bar: 1,
        degrees: [
          { from: null, heard: { number: 5 } },
          { from: { number: 6 }, heard: { number: 7, alter: -1 } },
        ],
      },
    ]);
  });

  it('is the same after so many changes that numbers are given anew', () => {
    const changing = new Finder(distance);
    const sheets = [first, second, third].map(sheetOf);
    for (const s of sheets) changing.put(s);
    for (let i = 0; i < 1010; i++) changing.put(sheets[i % 2]!);
    expect(changing.catalogue.end).toBeLessThan(1000);
    for (const text of ['IV', 'bend', 'key:minor', 'R', 'straight order:-title']) {
      const found = changing.ask(text, BY_LEVEL);
      expect(found.ok && found.value.ids).toEqual(ask(text).ids);
    }
  });

  it('reads likeness in slices as at once, whatever comes and goes meanwhile', () => {
    const sheets = Array.from({ length: 24 }, (_, i) => sheetOf(seededPhrase(i, { maxBars: 2 })));
    const [atOnce, sliced] = [new Finder(), new Finder()];
    for (const s of sheets.slice(0, 18)) {
      atOnce.put(s);
      sliced.put(s);
    }
    expect(sliced.readLikeness(7)).toBe(false);
    for (const f of [atOnce, sliced]) {
      f.delete(sheets[2]!.facts.id);
      f.delete(sheets[12]!.facts.id);
      f.put(sheets[18]!);
      f.put(sheets[3]!);
    }
    let slices = 0;
    while (!sliced.readLikeness(5)) slices++;
    expect(slices).toBeGreaterThan(1);
    for (const f of [atOnce, sliced]) for (const s of sheets.slice(19)) f.put(s);
    expect(sliced.readLikeness(0)).toBe(true);
    for (const { facts } of sheets) {
      expect(sliced.like(facts.id, 9)).toEqual(atOnce.like(facts.id, 9));
    }
    expect(atOnce.like(sheets[3]!.facts.id, 9).length).toBeGreaterThan(0);
  });

  it('finds what is like another, and twins in different keys', () => {
    const line = 'e 3/5 3/7 2/5 2/8 1/5 1/8 2/8 2/5';
    const moved = 'e 3/7 3/9 2/7 2/10 1/7 1/10 2/10 2/7';
    const same = new Finder();
    same.put(sheetOf(build(line, { id: 'a', title: 'A', key: 'C' })));
    same.put(sheetOf(third));
    same.put(sheetOf(build(moved, { id: 'b', title: 'B', key: 'D' })));
    expect(same.like('a', 5)[0]).toEqual({ id: 'b', unlikeness: 0 });
    expect(same.twins().found).toEqual([{ ids: ['a', 'b'], unlikeness: 0 }]);
    expect(same.twins(0, 1)).toMatchObject({ looked: 1, of: 3 });
    expect(same.twins(1, 2)).toEqual({ found: [], looked: 3, of: 3 });
    same.delete('b');
    expect(same.twins().found).toEqual([]);
  });
});
