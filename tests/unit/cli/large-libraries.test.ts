import { readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { describe, expect, it } from 'vitest';
import { readSource } from '../../../src/cli/input';
import { nodeScratch } from '../../../src/cli/node-scratch';
import { run } from '../../../src/cli/run';
import { decodeLibrary } from '../../../src/io/library/decode';
import { libraryPieces } from '../../../src/io/library/write';
import { memoryIo } from '../../support/memory-io';
import { phraseNamed } from '../../support/phrase-named';

/** More than is read in one piece: few phrases with long notes. */
function library(title: string): string {
  const phrases = Array.from({ length: 230 }, (_, i) => {
    const p = phraseNamed(`p${i}`, i % 100 === 0 ? `${title} ${i}` : `Quay ${i}`);
    return { ...p, meta: { ...p.meta, notes: '♭'.repeat(6_500) } };
  });
  return [...libraryPieces(phrases)].join('');
}

describe('a large library on the command line', () => {
  it('is read as it comes: nobody asks for all of it', async () => {
    const io = memoryIo({ files: { 'a.json': library('A') } });
    const whole = () => Promise.reject(new Error('all of it was asked for'));
    const taken: string[] = [];
    const read = await readSource({ ...io, files: { ...io.files, read: whole } }, 'a.json', {
      taking: { known: () => null, take: (p) => void taken.push(p.id) },
    });
    expect(read.ok && [read.value.phrases.length, read.value.library]).toEqual([0, true]);
    expect(taken).toHaveLength(230);
  });

  it('is merged with its texts elsewhere, and comes out as it would from memory', async () => {
    const merged = async (elsewhere: boolean) => {
      const io = memoryIo({ files: { 'a.json': library('A'), 'b.json': library('B') } });
      const at = elsewhere ? { ...io, scratch: nodeScratch } : io;
      expect(await run(['merge', 'a.json', 'b.json', '-o', 'c.json'], at)).toBe(0);
      return { said: io.stderr(), text: new TextDecoder().decode(io.disk.get('c.json')) };
    };
    const there = await merged(true);
    const other = await merged(false);
    expect([there.said, there.text === other.text]).toEqual([other.said, true]);
    const read = decodeLibrary(there.text);
    expect(read.ok && read.value.phrases.length).toBe(233);
    expect(there.said).toContain("'A 0' is there in 2 versions");
  });
});

describe('room for texts on the disk', () => {
  it('gives back what was put there, in any order, and leaves nothing', () => {
    const before = ours();
    const scratch = nodeScratch();
    const texts = Array.from({ length: 300 }, (_, i) => `${i} ♭7 ${'é'.repeat(i * 40)}`);
    const numbers = texts.map((t) => scratch.put(t));
    expect(scratch.get(numbers[299]!)).toBe(texts[299]);
    const last = scratch.put('after that');
    for (const i of [0, 150, 7]) expect(scratch.get(numbers[i]!)).toBe(texts[i]);
    expect(scratch.get(last)).toBe('after that');
    scratch.end();
    expect(ours()).toEqual(before);
  });
});

function ours(): readonly string[] {
  return readdirSync(tmpdir()).filter((name) => /^degreewise-.{6}$/u.test(name));
}
