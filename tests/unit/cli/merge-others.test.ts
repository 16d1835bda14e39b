import { expect, it } from 'vitest';
import { KeptPhrases, writeMerged } from '../../../src/cli/commands/merge';
import { Shell } from '../../../src/cli/shell';
import { KINDS } from '../../../src/io/kinds/kinds';
import { decodeLibrary } from '../../../src/io/library/decode';
import { memoryIo } from '../../support/memory-io';
import { ORDERS, order } from '../../support/orders';
import { phraseNamed } from '../../support/phrase-named';

it('merges what is no phrase by the same rules', async () => {
  const io = memoryIo();
  const kept = new KeptPhrases();
  for (let i = 0; i < 2; i++) kept.take(phraseNamed('p', 'Quay'));
  const of = (...values: readonly ReturnType<typeof order>[]) =>
    values.map((value) => ({ kind: ORDERS, value }));
  const later = { ...order('a', 'Changed later'), modified: '2026-03-02T00:00:00Z' };
  const collections = [of(order('a', 'First'), order('b', 'B')), of(later, order('b', 'B'))];
  await writeMerged(new Shell(io), kept.all, collections, 'all.json', false);
  expect(io.stdout()).toBe('wrote all.json: 1 phrase, 3 string orders\n');
  expect(io.stderr()).toBe("'Changed later' is there in 2 versions; all are kept\n");
  const text = new TextDecoder().decode(io.disk.get('all.json'));
  const read = decodeLibrary(text, [...KINDS, ORDERS]);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  expect(read.value.others?.map((o) => o.title)).toEqual(['Changed later', 'First', 'B']);
});

it('counts many things that are there in several versions, and names the first', async () => {
  const io = memoryIo();
  const all = (title: string) =>
    Array.from({ length: 300 }, (_, i) => ({
      kind: ORDERS,
      value: order(`o${String(i).padStart(3, '0')}`, `${title} ${i}`),
    }));
  await writeMerged(new Shell(io), [], [all('Early'), all('Late')], 'all.json', false);
  expect(io.stdout()).toBe('wrote all.json: 0 phrases, 600 string orders\n');
  const said = io.stderr().trimEnd().split('\n');
  expect(said[0]).toBe('300 things are there in several versions; all are kept. The first:');
  expect(said.slice(1, -1)).toHaveLength(5);
  for (const [i, line] of said.slice(1, -1).entries()) {
    expect(line).toMatch(new RegExp(`^'(?:Early|Late) ${i}' is there in 2 versions`, 'u'));
  }
  expect(said.at(-1)).toBe('and 295 more');
});
