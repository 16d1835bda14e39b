import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { run } from '../../../../src/cli/run';
import { newCollection, renamed } from '../../../../src/core/library/collection';
import { newPair, PAIRS_JOINED } from '../../../../src/core/library/pair';
import { newSearch } from '../../../../src/core/library/saved-search';
import { newUse } from '../../../../src/core/library/use';
import { formatProblem, type Result } from '../../../../src/core/result';
import {
  decodeCollection,
  decodePair,
  decodeSearch,
  decodeUse,
} from '../../../../src/io/json/decode-order';
import { publishedSchemas } from '../../../../src/io/json/json-schema';
import type { AnyKind } from '../../../../src/io/kinds/kind';
import { COLLECTIONS, PAIRS, SEARCHES, USES } from '../../../../src/io/kinds/kinds';
import { decodeLibrary } from '../../../../src/io/library/decode';
import { libraryPieces } from '../../../../src/io/library/write';
import { memoryIo } from '../../../support/memory-io';

const now = '2026-11-27T08:00:00Z';
const collection = renamed(newCollection(['p1', 'p2', 'p1'], { id: 'c', now, title: 'Week 3' }), {
  notes: 'Slowly first',
  purpose: 'lesson',
});
const search = newSearch(
  { find: 'with:slide', like: 'p1', twins: 'yes', key: '' },
  {
    id: 's',
    now,
    title: 'Slides',
  },
);
const use = newUse(['p1', 'p2'], { id: 'u', now, day: '2026-11-27' });

const pair = newPair(['p2', 'p1'], { now, title: 'One and other' });

const said = (read: Result<unknown>) =>
  read.ok ? 'it opens' : read.problems.map(formatProblem).join('\n');

describe('the door for collections, saved questions, uses and kept pairs', () => {
  it('gives back what went out, as an independent validator of the schemas agrees', () => {
    expect(collection.phrases).toEqual(['p1', 'p2']);
    expect(search.asked).toEqual({ find: 'with:slide', like: 'p1' });
    const schemas = publishedSchemas();
    for (const [value, read, name] of [
      [collection, decodeCollection, 'collection'],
      [search, decodeSearch, 'search'],
      [use, decodeUse, 'use'],
      [pair, decodePair, 'pair'],
    ] as const) {
      expect(read(JSON.stringify(value))).toEqual({ ok: true, value });
      const oracle = new Ajv2020({ strict: true }).compile(schemas[`${name}.schema.json`]!);
      expect(oracle(value), JSON.stringify(oracle.errors)).toBe(true);
      expect(oracle({ ...value, more: 1 })).toBe(false);
      expect(said(read({ ...value, more: 1 }))).toContain('more');
      expect(said(read({ ...value, version: 2 }))).toContain('newer release');
    }
  });

  it('says what is wrong, and where', () => {
    expect(said(decodeCollection({ ...collection, phrases: ['a', 'b', 'a'] }))).toContain(
      '/phrases/2',
    );
    expect(said(decodeUse({ ...use, day: '2026-13-01' }))).toContain('/day');
    expect(said(decodeUse({ ...use, day: '2026-02-30' }))).toContain('no day 2026-02-30');
    expect(said(decodeSearch({ ...search, asked: { find: '' } }))).toContain('/asked/find');
    expect(said(decodePair({ ...pair, phrases: ['a', 'a'] }))).toContain(
      'names the phrase a twice',
    );
    expect(said(decodePair({ ...pair, phrases: ['a'] }))).toContain('/phrases');
    expect(said(decodeCollection('[]'))).not.toBe('it opens');
  });

  it('comes back from a library file, and follows phrases that came in under another id', () => {
    const text = [...libraryPieces([], [collection, search, use, pair])].join('');
    const read = decodeLibrary(text);
    expect(read.ok && read.value.others).toEqual([collection, search, use, pair]);
    const to = (kind: string, id: string) => (kind === 'phrase' && id === 'p1' ? 'new' : id);
    const moved = (kind: AnyKind, value: unknown) => kind.withReferences?.(value, to);
    expect(moved(COLLECTIONS as unknown as AnyKind, collection)).toEqual({
      ...collection,
      phrases: ['new', 'p2'],
    });
    expect(moved(SEARCHES as unknown as AnyKind, search)).toMatchObject({
      asked: { like: 'new' },
    });
    expect(moved(USES as unknown as AnyKind, use)).toMatchObject({ phrases: ['new', 'p2'] });
    expect(moved(PAIRS as unknown as AnyKind, pair)).toMatchObject({ phrases: ['new', 'p2'] });
  });

  it('makes one pair of two that say the same, whichever way round and in whatever order they come', () => {
    const later = newPair(['p1', 'p2'], { now: '2026-11-28T08:00:00Z', title: 'Called otherwise' });
    expect([later.id, PAIRS_JOINED.key(later)]).toEqual([pair.id, PAIRS_JOINED.key(pair)]);
    expect([PAIRS_JOINED.join(pair, later), PAIRS_JOINED.join(later, pair)]).toEqual([
      later,
      later,
    ]);
    expect(newPair(['p1', 'p3'], { now, title: '' }).id).not.toBe(pair.id);
  });

  it('merges two that say the same of two phrases which were called otherwise to the one said last', async () => {
    const later = newPair(['p1', 'p2'], { now: '2026-11-28T08:00:00Z', title: 'Called otherwise' });
    const file = (...others: readonly unknown[]) => [...libraryPieces([], others)].join('');
    const io = memoryIo({ files: { 'one.json': file(pair), 'two.json': file(later) } });
    expect(await run(['merge', 'one.json', 'two.json', '-o', 'all.json'], io), io.stderr()).toBe(0);
    expect(io.stdout()).toContain('1 kept pair\n');
    expect(io.stderr()).toBe('');
    const read = decodeLibrary(new TextDecoder().decode(io.disk.get('all.json')));
    expect(read.ok && read.value.others).toEqual([later]);
  });

  it('makes the same of two pairs that were said at one moment and differ in something else', () => {
    const other = { ...pair, parent: 'x' };
    const turned = { ...pair, phrases: ['p2', 'p1'] as const };
    for (const b of [other, turned, { ...turned, parent: 'x' }]) {
      expect(PAIRS_JOINED.join(b, pair)).toEqual(PAIRS_JOINED.join(pair, b));
    }
  });
});
