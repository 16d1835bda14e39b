import { mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { CarryMemory } from '../../../src/cli/carry-memory';
import { nodeIo } from '../../../src/cli/node-io';
import { run } from '../../../src/cli/run';
import type { Library, Phrase } from '../../../src/core/phrase/types';
import { fail, ok } from '../../../src/core/result';

let place = '';
/** The ids of the phrases at first. */
let order: readonly string[] = [];
beforeAll(async () => {
  place = await mkdtemp(join(tmpdir(), 'carry-'));
});
afterAll(() => rm(place, { recursive: true, force: true }));

/** A command on real files; what it printed. */
async function degreewise(...words: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: '', err: '' };
  const stream = (name: 'out' | 'err') => ({
    write: (text: string) => {
      said[name] += text;
    },
    isTerminal: false,
  });
  const io = { ...nodeIo(), out: stream('out'), err: stream('err') };
  return { code: await run(words, io), ...said };
}
const at = (...parts: string[]) => join(place, ...parts);
const read = async (name: string): Promise<Library> => JSON.parse(await readFile(at(name), 'utf8'));
const write = (name: string, library: Library) => writeFile(at(name), JSON.stringify(library));
const edit = async (name: string, change: (p: Phrase, i: number) => Phrase | null) => {
  const library = await read(name);
  const phrases = library.phrases.flatMap((p) => change(p, order.indexOf(p.id)) ?? []);
  await write(name, { ...library, phrases });
};
const titled = (p: Phrase, title: string, modified = '2026-12-01T10:00:00.000Z'): Phrase => ({
  ...p,
  meta: { ...p.meta, title, modified },
});
const titles = async (name: string) => (await read(name)).phrases.map((p) => p.meta.title).sort();
const carry = (name: string, ...more: string[]) =>
  degreewise('carry', at(name), at('shared'), ...more);

it('keeps two libraries and one folder in step, edited at once', async () => {
  const samples = (await readdir('samples')).slice(0, 4).map((f) => join('samples', f));
  await degreewise('merge', ...samples, '-o', at('a.json'));
  order = (await read('a.json')).phrases.map((p) => p.id);
  // What would be done is said, and not done.
  const dry = await carry('a.json', '--dry');
  expect(dry.out.match(/would be new in the folder/gu)).toHaveLength(4);
  expect(await readdir(place)).toEqual(['a.json']);

  expect((await carry('a.json')).code).toBe(0);
  expect(await readdir(at('shared', 'phrases'))).toHaveLength(4);
  expect((await carry('a.json')).out).toBe('in step: nothing to do\n');
  await carry('b.json');
  expect(await titles('b.json')).toEqual(await titles('a.json'));

  // One phrase on each side, one on both, one removed here and one changed there.
  await edit('a.json', (p, i) =>
    i === 0 ? titled(p, 'A alone') : i === 1 ? titled(p, 'A too') : i === 2 ? null : p,
  );
  await edit('b.json', (p, i) =>
    i === 1 ? titled(p, 'B too', '2026-12-02T10:00:00.000Z') : i === 3 ? titled(p, 'B alone') : p,
  );
  await carry('a.json');
  const both = await carry('b.json');
  expect(both.out).toContain("kept as both: phrase 'A too'");
  await carry('a.json');
  expect(await titles('a.json')).toEqual(['A alone', 'A too', 'B alone', 'B too']);
  expect(await titles('b.json')).toEqual(await titles('a.json'));
  expect((await carry('b.json')).out).toBe('in step: nothing to do\n');
  const files = await readdir(at('shared', 'phrases'));
  expect(files.some((f) => /^a-alone\.[0-9a-f]{8}\.json$/u.test(f))).toBe(true);
  expect(files).toHaveLength(4);

  // Half a file is left alone and said; what is not ours is not touched.
  const [name] = files as [string];
  const whole = await readFile(at('shared', 'phrases', name), 'utf8');
  await writeFile(at('shared', 'phrases', name), whole.slice(0, 99));
  await writeFile(at('shared', 'notes.txt'), 'mine');
  await writeFile(at('shared', 'other.json'), '{"mine":true}');
  const half = await carry('a.json');
  expect(half.code).toBe(1);
  expect(half.err).toContain(name);
  expect(await titles('a.json')).toHaveLength(4);
  expect(await readFile(at('shared', 'phrases', name), 'utf8')).toBe(whole.slice(0, 99));
  await writeFile(at('shared', 'phrases', name), whole);
  expect((await carry('a.json')).out).toBe('in step: nothing to do\n');
  expect(await readFile(at('shared', 'other.json'), 'utf8')).toBe('{"mine":true}');

  // Other commands read the files as phrases.
  expect((await degreewise('stats', at('shared', 'phrases'))).out).toMatch(/^4 phrases/u);
});

it('makes a library anew that is gone, and takes nothing for removed', async () => {
  const before = await titles('b.json');
  expect(before).toHaveLength(4);
  await rm(at('b.json'));
  const made = await carry('b.json');
  expect(made.out).not.toContain('removed');
  expect(await titles('b.json')).toEqual(before);
  expect(await readdir(at('shared', 'phrases'))).toHaveLength(4);
});

it('asks before much of a folder goes, since the library may be an older copy', async () => {
  const samples = (await readdir('samples')).slice(0, 10).map((f) => join('samples', f));
  await degreewise('merge', ...samples, '-o', at('c.json'));
  const all = await read('c.json');
  const one = { ...all, phrases: all.phrases.slice(0, 1) };
  const carried = (...more: string[]) => degreewise('carry', at('c.json'), at('much'), ...more);
  const files = () => readdir(at('much', 'phrases'));
  await carried();
  await write('c.json', one);
  const refused = await carried();
  expect(refused).toMatchObject({ code: 1 });
  expect(refused.err).toContain('9 things that stood in it');
  expect([await files(), await read('c.json')]).toMatchObject([{ length: 10 }, one]);
  // The newer one put back, nothing has happened.
  await write('c.json', all);
  expect((await carried()).out).toBe('in step: nothing to do\n');
  await write('c.json', one);
  expect((await carried('--removals')).code).toBe(0);
  expect(await files()).toHaveLength(1);
});

it('says when what is remembered cannot be read, and removes nothing for that', async () => {
  const samples = (await readdir('samples')).slice(0, 3).map((f) => join('samples', f));
  await degreewise('merge', ...samples, '-o', at('d.json'));
  const carried = () => degreewise('carry', at('d.json'), at('kept'));
  await carried();
  const memory = at('.d.json.carried');
  const whole = await readFile(memory, 'utf8');
  // A look with nothing to do writes nothing.
  const { mtimeMs } = await stat(memory);
  expect((await carried()).err).toBe('');
  expect((await stat(memory)).mtimeMs).toBe(mtimeMs);
  // As it was written until version 2 it is read, and then written as it is now.
  const older = (text: string) => JSON.stringify({ [at('kept')]: text });
  await writeFile(memory, older('{"version":1,"things":[],"files":[]}'));
  expect(await carried()).toMatchObject({ out: 'in step: nothing to do\n', err: '' });
  expect(await readFile(memory, 'utf8')).toBe(whole);
  const all = await read('d.json');
  for (const wrong of [
    '',
    'half a fi',
    whole.slice(0, whole.indexOf('\n[') + 30),
    whole.replace(/"phrase /gu, '"phrase x'),
    older('{"version":1,"things":['),
    '{"format":"degreewise-carry-memory","version":"3"}',
  ]) {
    await writeFile(memory, wrong);
    // One was removed since: it comes back rather than that anything goes.
    await write('d.json', { ...all, phrases: all.phrases.slice(1) });
    const { code, out, err } = await carried();
    expect({ code, removed: out.includes('removed from the library') }).toEqual({
      code: 0,
      removed: false,
    });
    expect(err).toContain('.d.json.carried: ');
    expect(err).toContain('nothing is removed for that');
    expect([
      await titles('d.json').then((t) => t.length),
      await readdir(at('kept', 'phrases')),
    ]).toMatchObject([3, { length: 3 }]);
    expect((await carried()).err).toBe('');
  }
});

it('leaves alone what a newer release remembers, and does nothing without it', async () => {
  const samples = (await readdir('samples')).slice(0, 2).map((f) => join('samples', f));
  await degreewise('merge', ...samples, '-o', at('n.json'));
  await degreewise('carry', at('n.json'), at('newer'));
  const newer = '{"format":"degreewise-carry-memory","version":3}\n[1,"what nobody here knows"]\n';
  await writeFile(at('.n.json.carried'), newer);
  const all = await read('n.json');
  await write('n.json', { ...all, phrases: all.phrases.slice(1) });
  const refused = await degreewise('carry', at('n.json'), at('newer'));
  expect(refused).toMatchObject({ code: 1, out: '' });
  expect(refused.err).toContain('.n.json.carried: it was written by a newer release');
  expect(await readFile(at('.n.json.carried'), 'utf8')).toBe(newer);
  expect([await titles('n.json'), await readdir(at('newer', 'phrases'))]).toMatchObject([
    { length: 1 },
    { length: 2 },
  ]);
});

it('says when what is remembered is too large or not to be read', async () => {
  const files = {
    kindOf: async () => 'file' as const,
    read: async () => fail({ message: 'the file is larger than 1024 MiB' }),
    list: async () => ok([]),
    write: async () => ok('written' as const),
  };
  const memory = await CarryMemory.of(files, 'songs/mine.json');
  expect(memory).toMatchObject({
    path: 'songs/.mine.json.carried',
    trouble: 'the file is larger than 1024 MiB',
  });
  expect(memory.of('shared').size).toBe(0);
});

it('takes nothing of one folder for another where the line that names it is damaged', async () => {
  let lies = new Uint8Array();
  const files = {
    kindOf: async () => (lies.length === 0 ? ('none' as const) : ('file' as const)),
    read: async () => ok(lies),
    list: async () => ok([]),
    write: async (_path: string, bytes: string | Uint8Array) => {
      lies = Uint8Array.from(bytes as Uint8Array);
      return ok('written' as const);
    },
  };
  const memory = await CarryMemory.of(files, 'mine.json');
  memory.of('first');
  const second = memory.of('second');
  second.setThing('phrase quay', { version: '0123456789abcdef', past: [] });
  await memory.keep('second', second);
  const whole = new TextDecoder().decode(lies);
  expect((await CarryMemory.of(files, 'mine.json')).of('second').size).toBe(1);
  for (const damaged of ['{"place":"sec', '{"plane":"second"}']) {
    lies = new TextEncoder().encode(whole.replace('{"place":"second"}', damaged));
    const read = await CarryMemory.of(files, 'mine.json');
    expect(read.trouble).toBe('a part of it is damaged');
    // Else what lies in the second folder alone would look as if it was removed from the first.
    expect([read.of('first').size, read.of('second').size]).toEqual([0, 0]);
  }
});

it('says what is wrong with the words', async () => {
  expect((await degreewise('carry', 'a.json')).code).toBe(2);
  expect((await degreewise('carry', 'folder', 'a.json')).err).toContain('no name of a library');
  const phrase = join('samples', (await readdir('samples'))[0]!);
  expect((await degreewise('carry', phrase, at('x'))).err).toContain('is no library');
});

it('refuses names of which neither is there, and makes nothing', async () => {
  const before = await readdir(place);
  for (const more of [[], ['--dry']]) {
    const { code, out, err } = await degreewise('carry', at('none.json'), at('nowhere'), ...more);
    expect([code, out]).toEqual([1, '']);
    expect(err).toContain(`there is no such file, and no folder '${at('nowhere')}'`);
  }
  expect(await readdir(place)).toEqual(before);
});
