import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NO_FILTER } from '../../../../src/core/library/filter';
import { LIBRARY_ORDERS } from '../../../../src/core/library/sort';
import { readQuery } from '../../../../src/core/search/query/read';
import { writeQuery } from '../../../../src/core/search/query/write';
import { USUAL_DEGREES } from '../../../../src/core/theory/degree';
import { parseKey } from '../../../../src/core/theory/key';
import { addressOf, parseRoute } from '../../../../src/ui/frame/route';
import {
  inOrder,
  type LibraryView,
  readView,
  writeView,
} from '../../../../src/ui/library/library-query';

describe('a view of the library in its address', () => {
  it('is short: what is as usual is left out', () => {
    const usual: LibraryView = { filter: NO_FILTER, order: null };
    expect(addressOf({ page: 'library', query: writeView(usual) })).toBe('#/');
    expect(readView({})).toEqual(usual);
  });

  it('can be typed', () => {
    expect(
      readView({ degrees: 'b3,#4', key: 'Bb blues', levels: '1,2,9', order: 'level' }),
    ).toEqual({
      filter: {
        ...NO_FILTER,
        key: parseKey('Bb blues'),
        levels: [1, 2],
        degrees: [
          { number: 3, alter: -1 },
          { number: 4, alter: 1 },
        ],
      },
      order: 'level',
    });
    expect(readView({ tags: '%', key: 'H', degrees: 'x', order: 'sideways' })).toEqual({
      filter: { ...NO_FILTER, tags: ['%'] },
      order: null,
    });
  });

  it('takes the order out of the text, which would go before the one that is chosen, and nothing else', () => {
    const inLevel = (words: string) =>
      inOrder({ filter: { ...NO_FILTER, words }, order: null }, 'level');
    const left = [
      ['low order:-changed tide', 'low tide'],
      ['ORDER:title', ''],
      ['(low, order:key) or tide', '(low, ) or tide'],
      ['( order:key ) low', 'low'],
      ['"order:key of things" 5 order:bars', '"order:key of things" 5'],
      ['"a \\" order:key b"', '"a \\" order:key b"'],
      ['reorder:key ', 'reorder:key '],
      ['(order:level)', ''],
      ['low ((order:level), ) tide', 'low tide'],
      ['"a ( )" (order:level)', '"a ( )"'],
    ] as const;
    for (const [words, rest] of left) {
      expect(inLevel(words), words).toEqual({
        filter: { ...NO_FILTER, words: rest },
        order: 'level',
      });
      // As the language itself reads it.
      const [before, after] = [words, rest].map((text) => readQuery(text));
      if (before?.ok && after?.ok) {
        expect(writeQuery({ ...before.value, order: null }), words).toBe(writeQuery(after.value));
      }
    }
    // What fits best comes first where nobody chose.
    expect(inOrder(readView({ find: 'low', order: 'key' }), 'match').order).toBeNull();
    expect(readView({ order: 'match' }).order).toBeNull();
  });

  it('comes back from the address as it was', () => {
    const text = fc.string({ unit: 'grapheme' });
    const keys = ['C', 'F#m', 'Bb blues', 'Ebm'].map((k) => parseKey(k)!);
    const view: fc.Arbitrary<LibraryView> = fc.record({
      filter: fc.record({
        words: text,
        like: text,
        tags: fc.array(fc.string({ unit: 'grapheme', minLength: 1 })),
        key: fc.constantFrom(null, ...keys),
        chord: text,
        levels: fc.subarray([1, 2, 3, 4, 5] as const),
        degrees: fc.subarray(USUAL_DEGREES.flat()),
      }),
      order: fc.constantFrom(null, ...LIBRARY_ORDERS.filter((o) => o !== 'match')),
    });
    fc.assert(
      fc.property(view, (v) => {
        const route = parseRoute(addressOf({ page: 'library', query: writeView(v) }));
        expect(route.page === 'library' && readView(route.query)).toEqual(v);
      }),
      { seed: 20261125, numRuns: 300 },
    );
  });
});
