import { describe, expect, it } from 'vitest';
import { choicesOf } from '../../../../src/core/library/choices';
import { factsOf } from '../../../../src/core/library/facts';
import {
  filterPhrases,
  isNoFilter,
  type LibraryFilter,
  NO_FILTER,
} from '../../../../src/core/library/filter';
import { LIBRARY_ORDERS, sortPhrases } from '../../../../src/core/library/sort';
import { degree, formatDegree } from '../../../../src/core/theory/degree';
import { formatKey, parseKey } from '../../../../src/core/theory/key';
import { build } from '../../../support/build';

const pier = build('q 3/5(bend:D4) 3/4 2/6=F 1/3', {
  id: 'pier',
  title: 'Pier 10',
  key: 'G blues',
  chords: 'G7',
  meta: { tags: ['Blues', 'bends'], level: 3, modified: '2026-03-02T10:00:00Z' },
});
const lamp = build('h 3/7 2/8 | w 2/8', {
  id: 'lamp',
  title: 'Pier 9',
  key: 'Cm',
  chords: 'Cm7 | G7alt',
  meta: { tags: ['jazz', 'blues'], level: 1, modified: '2026-03-04T10:00:00Z' },
});
const quay = build('q 3/7 2/8', {
  id: 'quay',
  title: '',
  key: 'Eb',
  meta: { tags: [], styleOf: 'hymn', modified: '2026-03-03T10:00:00Z' },
});
const ALL = [pier, lamp, quay].map(factsOf);

const find = (f: Partial<LibraryFilter>) =>
  filterPhrases(ALL, { ...NO_FILTER, ...f }).map((x) => x.id);

describe('filter', () => {
  it('without anything to look for finds everything, in order', () => {
    expect(isNoFilter(NO_FILTER)).toBe(true);
    expect(isNoFilter({ ...NO_FILTER, chord: '  ' })).toBe(true);
    expect(find({})).toEqual(['pier', 'lamp', 'quay']);
  });

  it.each<[string, Partial<LibraryFilter>, string[]]>([
    ['tags in any case', { tags: ['BLUES'] }, ['pier', 'lamp']],
    ['all tags', { tags: ['blues', 'bends'] }, ['pier']],
    ['a tag is not part of a tag', { tags: ['bend'] }, []],
    ['key with its mode', { key: parseKey('G blues') }, ['pier']],
    ['the same tonic in another mode is another key', { key: parseKey('G') }, []],
    ['a chord in any of its spellings', { chord: 'C-7' }, ['lamp']],
    ['a chord is not the beginning of another', { chord: 'C' }, []],
    ['nor what another begins with', { chord: 'G7' }, ['pier']],
    ['half a symbol finds what begins so', { chord: 'G7al' }, ['lamp']],
    ['levels: any of them', { levels: [1, 2] }, ['lamp']],
    ['degrees: all of them', { degrees: [degree(4), degree(7, -1)] }, ['pier']],
    ['a bend target counts', { degrees: [degree(5), degree(1)] }, ['pier', 'lamp']],
    ['degrees by name', { degrees: [degree(2, 1)] }, []],
  ])('%s', (_, filter, ids) => {
    expect(find(filter)).toEqual(ids);
    expect(isNoFilter({ ...NO_FILTER, ...filter })).toBe(false);
  });
});

describe('order', () => {
  const ids = (order: (typeof LIBRARY_ORDERS)[number]) => sortPhrases(ALL, order).map((f) => f.id);

  it('titles by alphabet with numbers by value, untitled last', () => {
    expect(ids('title')).toEqual(['lamp', 'pier', 'quay']);
  });
  it('last changed first', () => expect(ids('changed')).toEqual(['lamp', 'quay', 'pier']));
  it('easiest first, without level last', () => {
    expect(ids('level')).toEqual(['lamp', 'pier', 'quay']);
  });
  it('keys from flats to sharps, major before minor', () => {
    // E♭ major and C minor both have three flats; G blues has the signature of G major.
    expect(ids('key')).toEqual(['quay', 'lamp', 'pier']);
  });
  it('shortest first', () => expect(ids('bars')).toEqual(['pier', 'quay', 'lamp']));
  it.each(LIBRARY_ORDERS)('%s does not depend on the order before', (order) => {
    expect(sortPhrases([...ALL].reverse(), order)).toEqual(sortPhrases(ALL, order));
  });
});

describe('choices', () => {
  it('offer what occurs, tags by use', () => {
    const c = choicesOf(ALL);
    expect(c.tags).toEqual([
      { tag: 'Blues', count: 2 },
      { tag: 'bends', count: 1 },
      { tag: 'jazz', count: 1 },
    ]);
    expect(c.keys.map(formatKey)).toEqual(['Eb', 'Cm', 'G blues']);
    expect(c.chords).toEqual(['Cm7', 'G7', 'G7alt']);
    expect(c.levels).toEqual([1, 3]);
    expect(c.degrees.map(formatDegree)).toEqual(['R', '2', '3', '4', '5', 'b7', '7']);
  });

  it('whatever is offered finds something', () => {
    const c = choicesOf(ALL);
    for (const d of c.degrees) expect(find({ degrees: [d] })).not.toEqual([]);
    for (const k of c.keys) expect(find({ key: k })).not.toEqual([]);
    for (const chord of c.chords) expect(find({ chord })).not.toEqual([]);
    for (const { tag } of c.tags) expect(find({ tags: [tag] })).not.toEqual([]);
  });
});
