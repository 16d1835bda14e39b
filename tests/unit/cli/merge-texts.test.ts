import { describe, expect, it } from 'vitest';
import { writeMerged } from '../../../src/cli/commands/merge';
import { KeptPhrases } from '../../../src/cli/kept-phrases';
import { Shell } from '../../../src/cli/shell';
import { mergeLibraries } from '../../../src/core/library/merge';
import type { Phrase } from '../../../src/core/phrase/types';
import { decodePhrase } from '../../../src/io/json/decode';
import { encodeCompact, encodeDecoded } from '../../../src/io/json/encode';
import { LibraryReader } from '../../../src/io/library/read';
import { libraryPieces } from '../../../src/io/library/write';
import { libraryBytes } from '../../../src/publish/publish';
import { Dice } from '../../support/generate/dice';
import { libraryPhrase } from '../../support/many';
import { memoryIo } from '../../support/memory-io';
import { readSamples } from '../../support/samples';
import { attributes, imported, n, score } from '../../support/score-text';

const samples = readSamples().map((s) => s.phrase);

/** Few ids, each in several versions, some of which are equal. */
function library(seed: number): readonly Phrase[] {
  const d = new Dice(seed, 940);
  return Array.from({ length: 12 }, () => {
    const p = samples[d.int(0, 3)]!;
    const id = d.chance(0.2) ? `${p.id}.v-0123456789abcdef` : p.id;
    const modified = `2026-11-0${d.int(1, 3)}T10:00:00Z`;
    return { ...p, id, meta: { ...p.meta, title: `T${d.int(0, 1)}`, modified } };
  });
}

describe('merging phrases as they are written', () => {
  it('writes byte for byte what merging them as they are read writes', async () => {
    for (let seed = 0; seed < 6; seed++) {
      const [a, b] = [library(seed), library(seed + 100)];
      const io = memoryIo();
      const kept = new KeptPhrases();
      for (const p of [...a, ...b]) kept.take(p);
      await writeMerged(new Shell(io), kept.all, [], {
        out: 'all.json',
        folder: false,
        force: false,
      });
      expect(io.disk.get('all.json')).toEqual(libraryBytes(mergeLibraries(a, b).all));
    }
  });

  it('writes one of a score with its fields in order', async () => {
    const { phrase: p } = imported(
      score([
        attributes() + n('E4', 8, { notations: '<articulations><staccato/></articulations>' }),
      ]),
    );
    const io = memoryIo();
    const kept = new KeptPhrases();
    kept.takeRead(p);
    await writeMerged(new Shell(io), kept.all, [], {
      out: 'all.json',
      folder: false,
      force: false,
    });
    expect(encodeDecoded(p)).not.toBe(encodeCompact(p));
    expect(io.disk.get('all.json')).toEqual(libraryBytes([p]));
  });

  it('writes a phrase that was read as one that is checked again', () => {
    for (const p of [...samples, ...Array.from({ length: 20 }, (_, i) => libraryPhrase(i))]) {
      const read = decodePhrase(JSON.parse(JSON.stringify(p)));
      if (!read.ok) throw new Error(p.id);
      expect(encodeDecoded(read.value)).toBe(encodeCompact(read.value));
    }
  });

  it('does not read again what it has, and still finds an id that is there twice', () => {
    const [a, b] = samples.map((p) => p) as [Phrase, Phrase];
    const read = (phrases: readonly Phrase[], kept: KeptPhrases) => {
      const reader = new LibraryReader(undefined, null, kept.known);
      const handed: string[] = [];
      for (const piece of libraryPieces(phrases)) {
        for (const { value } of reader.take(new TextEncoder().encode(piece))) {
          handed.push((value as Phrase).id);
          kept.take(value as Phrase);
        }
      }
      return { handed, end: reader.end() };
    };
    const kept = new KeptPhrases();
    expect(read([a], kept)).toEqual({ handed: [a.id], end: { ok: true, value: 1 } });
    expect(read([a, b], kept)).toEqual({ handed: [b.id], end: { ok: true, value: 2 } });
    expect(read([b, b], kept).end).toMatchObject({
      problems: [{ message: 'the phrase has the same id as phrase 1', pointer: '/phrases/1/id' }],
    });
  });
});
