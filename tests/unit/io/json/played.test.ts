import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { run } from '../../../../src/cli/run';
import { formatProblem, type Result } from '../../../../src/core/result';
import { publishedSchemas } from '../../../../src/io/json/json-schema';
import { apartOf, FILE_KINDS, PLAYED } from '../../../../src/io/kinds/file-kinds';
import { KINDS } from '../../../../src/io/kinds/kinds';
import { decodeLibrary, othersOf } from '../../../../src/io/library/decode';
import { libraryPieces } from '../../../../src/io/library/write';
import { memoryIo } from '../../../support/memory-io';
import { phraseNamed } from '../../../support/phrase-named';
import { playedOf } from '../../../support/played';

const said = (read: Result<unknown>) =>
  read.ok ? 'it opens' : read.problems.map(formatProblem).join('\n');
const file = (id: string, ...others: readonly unknown[]) =>
  [...libraryPieces([phraseNamed(id, id)], others)].join('');

describe('the door for how a phrase was played', () => {
  const played = playedOf('a');

  it('gives back what went out, as an independent validator of the schema agrees', () => {
    expect(PLAYED.decode(JSON.stringify(played))).toEqual({ ok: true, value: played });
    const oracle = new Ajv2020({ strict: true }).compile(publishedSchemas()['played.schema.json']!);
    expect(oracle(played), JSON.stringify(oracle.errors)).toBe(true);
    const [first] = played.sounds;
    for (const broken of [
      { ...played, more: 1 },
      { ...played, seconds: -1 },
      { ...played, sounds: [{ ...first, pitches: [[0]] }] },
      { ...played, sounds: [{ ...first, attack: 'pluck' }] },
    ]) {
      expect(oracle(broken)).toBe(false);
      expect(said(PLAYED.decode(broken))).not.toBe('it opens');
    }
  });

  it('says what is wrong, and where', () => {
    const back = { ...played, sounds: [...played.sounds].reverse() };
    expect(said(PLAYED.decode(back))).toContain('/sounds/1');
    expect(said(PLAYED.decode({ ...played, kept: '2026-13-01T00:00:00Z' }))).toContain('/kept');
    expect(said(PLAYED.decode({ ...played, version: 2 }))).toContain('newer release');
  });

  it('takes as many notes as a phrase may have', () => {
    const many = Array.from({ length: 300 }, () => played.sounds[0]!);
    expect(said(PLAYED.decode({ ...played, sounds: many }))).toBe('it opens');
  });

  it('is refused as a whole, in words, by a program that does not know it', () => {
    expect(said(decodeLibrary(file('a', played), KINDS))).toContain(
      'does not know the format degreewise-played. Open the file with a newer release',
    );
    const read = decodeLibrary(file('a', played));
    expect(read.ok && apartOf(othersOf(read.value, FILE_KINDS))).toEqual({
      ...{ versions: [], played: [played], others: [] },
    });
  });
});

it('goes through merge, the later one of a phrase, and is told by check and stats', async () => {
  const [old, later] = [playedOf('a'), playedOf('a', '2026-11-29T20:00:00.000Z')];
  const files = { 'a.json': file('a', later), 'b.json': file('b', old, playedOf('b')) };
  const io = memoryIo({ files });
  expect(await run(['merge', 'a.json', 'b.json', '-o', 'all.json'], io), io.stderr()).toBe(0);
  expect(io.stdout()).toContain('2 phrases, 2 played takes');
  const read = decodeLibrary(new TextDecoder().decode(io.disk.get('all.json')));
  expect(read.ok && othersOf(read.value).map((t) => t.value)).toEqual([later, playedOf('b')]);
  expect(await run(['check', 'all.json'], io)).toBe(0);
  expect(io.stdout()).toContain('how 2 phrases were played');
  expect(await run(['stats', 'all.json'], io)).toBe(0);
  expect(io.stdout()).toContain('with how 2 phrases were played');
  expect(await run(['merge', 'all.json', 'a.json', '-o', 'out/'], io), io.stderr()).toBe(0);
  expect(io.stderr()).toContain('not in the folder: how 2 phrases were played');
});

it('stays with every version that merge keeps, also where one has another id than before', async () => {
  const titled = (id: string, title: string, ...others: readonly unknown[]) =>
    [...libraryPieces([phraseNamed(id, title)], others)].join('');
  const alone = 'b.v-0123456789abcdef';
  const files = {
    'a.json': titled('a', 'Mine', playedOf('a'), playedOf('gone')),
    'b.json': titled('a', 'Theirs'),
    'c.json': titled(alone, 'The last of two', playedOf(alone)),
  };
  const io = memoryIo({ files });
  const merged = async (from: readonly string[], to: string) => {
    expect(await run(['merge', ...from, '-o', to], io), io.stderr()).toBe(0);
    const read = decodeLibrary(new TextDecoder().decode(io.disk.get(to)));
    if (!read.ok) throw new Error(said(read));
    const phrases = read.value.phrases.map((p) => p.id).sort();
    const played = othersOf(read.value).map((t) => (t.value as { readonly id: string }).id);
    return { phrases, played };
  };
  const once = await merged(Object.keys(files), 'once.json');
  expect(once.phrases).toHaveLength(3);
  // What belongs to no phrase of these files stays as it is.
  expect(once.played).toEqual([...once.phrases, 'gone'].sort());
  expect(await merged(['once.json', 'a.json'], 'twice.json')).toEqual(once);
});
