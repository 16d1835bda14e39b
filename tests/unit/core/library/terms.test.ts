import { describe, expect, it } from 'vitest';
import { factsOf } from '../../../../src/core/library/facts';
import { filterPhrases, NO_FILTER } from '../../../../src/core/library/filter';
import { readTerms } from '../../../../src/core/library/terms';
import { build } from '../../../support/build';
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
const ALL = [first, second, third].map(factsOf);
const find = (words: string) => filterPhrases(ALL, { ...NO_FILTER, words }).map((f) => f.id);

describe('the field that finds', () => {
  it.each([
    ['first steps', ['first']],
    ['level 2', ['second']],
    ['2, easy', ['second']],
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
    expect(find(words)).toEqual(ids);
  });

  it('finds every sample by what its card prints: level, key, chords, degrees, tags and feel', () => {
    for (const { name, phrase } of readSamples()) {
      const facts = factsOf(phrase);
      const words = [
        facts.title,
        `${phrase.key.tonic.letter}`,
        phrase.key.mode,
        ...facts.chords.slice(0, 3),
        ...facts.tags,
        facts.level === null ? '' : `level ${facts.level}`,
        `${facts.bars} ${facts.bars === 1 ? 'bar' : 'bars'}`,
      ].join(' ');
      expect(filterPhrases([facts], { ...NO_FILTER, words }), `${name}: ${words}`).toHaveLength(1);
    }
  });

  it('reads terms that a later way of looking can join', () => {
    expect(readTerms('  level 3  IV7 blues ♭3 12 bars ').map((t) => t.kind)).toEqual([
      'level',
      'numeral',
      'text',
      'degree',
      'bars',
    ]);
    expect(readTerms('')).toEqual([]);
  });
});
