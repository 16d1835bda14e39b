import { expect, it } from 'vitest';
import { writeMerged } from '../../../src/cli/commands/merge';
import { KeptPhrases } from '../../../src/cli/kept-phrases';
import { run } from '../../../src/cli/run';
import { memoryScratch } from '../../../src/cli/scratch';
import { Shell } from '../../../src/cli/shell';
import { encodePhrase } from '../../../src/io/json';
import { KINDS } from '../../../src/io/kinds/kinds';
import { decodeLibrary } from '../../../src/io/library/decode';
import { MemoryFolder } from '../../support/memory-folder';
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
  await writeMerged(new Shell(io), kept.all, collections, {
    out: 'all.json',
    folder: false,
    force: false,
  });
  expect(io.stdout()).toBe('wrote all.json: 1 phrase, 3 string orders\n');
  expect(io.stderr()).toMatch(
    /^'Changed later' is there in 2 versions; all are kept\n {2}a\.v-[0-9a-f]{16} has otherwise: title\n$/u,
  );
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
  await writeMerged(new Shell(io), [], [all('Early'), all('Late')], {
    out: 'all.json',
    folder: false,
    force: false,
  });
  expect(io.stdout()).toBe('wrote all.json: 0 phrases, 600 string orders\n');
  const said = io.stderr().trimEnd().split('\n');
  expect(said[0]).toBe('300 things are there in several versions; all are kept. The first:');
  expect(said.slice(1, -1)).toHaveLength(10);
  const named = said.filter((l) => l.startsWith("'"));
  expect(named).toHaveLength(5);
  for (const [i, line] of named.entries()) {
    expect(line).toMatch(new RegExp(`^'(?:Early|Late) ${i}' is there in 2 versions`, 'u'));
  }
  expect(said.at(-1)).toBe('and 295 more');
});

it('writes a folder, a file a phrase, and says what differs', async () => {
  const [p, q] = [phraseNamed('p', 'Quay'), phraseNamed('q', 'Loft')];
  const slower = {
    ...p,
    tempo: { ...p.tempo, bpm: 61 },
    meta: { ...p.meta, modified: '2020-01-01T00:00:00.000Z' },
  };
  const files = {
    'a.json': encodePhrase(p),
    'b.json': encodePhrase(slower),
    'q.json': encodePhrase(q),
  };
  const folder = new MemoryFolder();
  const io = { ...memoryIo({ files }), folder: async (place: string) => ({ folder, place }) };
  expect(await run(['merge', 'a.json', 'b.json', 'q.json', '-o', 'out/'], io), io.stderr()).toBe(0);
  expect(io.stdout()).toBe('wrote out: 3 phrases\n');
  expect(io.stderr()).toContain(`has otherwise: tempo (quarter = ${p.tempo.bpm} / quarter = 61)\n`);
  const titles = [...folder.texts.values()].map((t) => /"title": *"([^"]*)"/u.exec(t)?.[1]);
  expect(titles.sort()).toEqual(['Loft', 'Quay', 'Quay']);
  for (const out of ['a.mid', '', '/'])
    expect(await run(['merge', 'a.json', 'b.json', `--out=${out}`], io)).toBe(2);
  const full = memoryIo({ files: { ...files, 'out/mine.txt': 'x' }, folders: ['out'] });
  expect(await run(['merge', 'a.json', 'b.json', '-o', 'out'], full)).toBe(2);
  expect(full.stderr()).toContain("there are files in 'out' already");
});

it('reads a phrase for a folder when its file is written, not all before', async () => {
  const scratch = memoryScratch();
  let [ahead, most] = [0, 0];
  const kept = new KeptPhrases({
    ...scratch,
    get: (number) => {
      ahead++;
      most = Math.max(most, ahead);
      return scratch.get(number);
    },
  });
  for (let i = 0; i < 200; i++) kept.take(phraseNamed(`p${i}`, `Quay ${i}`));
  const folder = new MemoryFolder();
  folder.onWrite = () => {
    ahead--;
  };
  const io = { ...memoryIo({}), folder: async (place: string) => ({ folder, place }) };
  await writeMerged(new Shell(io), kept.all, [], {
    out: 'out',
    folder: true,
    force: false,
  });
  expect(io.stdout()).toBe('wrote out: 200 phrases\n');
  expect(folder.texts.size).toBe(200);
  expect(most).toBeLessThanOrEqual(40);
});
