import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addressOf, parseRoute, type Route } from '../../../../src/ui/frame/route';

describe('addresses', () => {
  it.each<[string, Route]>([
    ['', { page: 'library', query: {} }],
    ['#', { page: 'library', query: {} }],
    ['#/', { page: 'library', query: {} }],
    ['#/?find=walking+bass', { page: 'library', query: { find: 'walking bass' } }],
    ['#/phrase/a1', { page: 'phrase', id: 'a1', query: {} }],
    [
      '#/phrase/a1/move?to=IV7&way=chord',
      { page: 'move', id: 'a1', query: { to: 'IV7', way: 'chord' } },
    ],
    ['#/phrase/a1/write?show=tab', { page: 'write', id: 'a1', query: { show: 'tab' } }],
    ['#/help/keys', { page: 'keys', query: {} }],
    ['#/lessons', { page: 'lessons', query: {} }],
    ['#/collections', { page: 'collections', query: {} }],
    ['#/collection/c1', { page: 'collection', id: 'c1', query: {} }],
    ['#/tags', { page: 'tags', query: {} }],
    ['#/removed', { page: 'removed', query: {} }],
    ['#/given/aXy-_', { page: 'given', data: 'aXy-_', query: {} }],
    ['#/phrase/p/cut', { page: 'cut', id: 'p', query: {} }],
    ['#/lesson/l/versions?of=12', { page: 'past', of: 'lesson', id: 'l', query: { of: '12' } }],
    ['#/form/f/versions', { page: 'past', of: 'form', id: 'f', query: {} }],
    ['#/phrase/p/versions?of=12', { page: 'versions', id: 'p', query: { of: '12' } }],
    ['#/lesson/l-1', { page: 'lesson', id: 'l-1', query: {} }],
    ['#/plan/p-1', { page: 'plan', id: 'p-1', query: {} }],
    ['#/solo?form=blues', { page: 'solo', query: { form: 'blues' } }],
    ['#/catch', { page: 'catch', query: {} }],
    ['#/compare/a1/b2', { page: 'compare', a: 'a1', b: 'b2', query: {} }],
    ['#/print/a%2F1', { page: 'print', id: 'a/1', query: {} }],
  ])('%s', (hash, route) => {
    expect(parseRoute(hash)).toEqual(route);
  });

  it.each([
    '#/phrase',
    '#/phrase/',
    '#/phrase/a/b',
    '#/phrase/a/move/b',
    '#/phrase/a/write/b',
    '#/help',
    '#/help/elsewhere',
    '#/help/keys/a',
    '#/compare/a',
    '#/compare/a/',
    '#/elsewhere',
    '#/phrase/%',
    '#/print/a/b',
  ])('%s is no place', (hash) => {
    expect(parseRoute(hash)).toEqual({ page: 'unknown', address: hash.slice(1) });
  });

  it('every place has an address that leads back to it', () => {
    const text = fc.string({ unit: 'grapheme', minLength: 1 });
    const query = fc.dictionary(text, text);
    const route: fc.Arbitrary<Route> = fc.oneof(
      fc.record({ page: fc.constant('library' as const), query }),
      fc.record({ page: fc.constant('phrase' as const), id: text, query }),
      fc.record({ page: fc.constant('move' as const), id: text, query }),
      fc.record({ page: fc.constant('print' as const), id: text, query }),
      fc.record({ page: fc.constant('compare' as const), a: text, b: text, query }),
    );
    fc.assert(
      fc.property(route, (r) => {
        expect(parseRoute(addressOf(r))).toEqual(r);
      }),
      { seed: 20261125, numRuns: 300 },
    );
  });
});
