import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import type { Result } from '../../../../src/core/result';
import { decodeLibrary, encodeLibrary, encodePhrase } from '../../../../src/io/json';
import { isLibrary, LibraryReader } from '../../../../src/io/library/read';
import { PhraseSplitter } from '../../../../src/io/library/split';
import { libraryPieces } from '../../../../src/io/library/write';
import { phraseNamed } from '../../../support/phrase-named';

/* The reader that takes a file whole is the oracle of the one that takes it in pieces. */

const TITLES = ['Quay', '"[{,]}"', 'back\\slash\\', '♭3 – 𝄞', ']]]', ''];
const phrases = TITLES.map((title, i) => phraseNamed(`p${i}`, title));
const pretty = encodeLibrary({ format: 'degreewise-library', version: 1, phrases });
const compact = [...libraryPieces(phrases)].join('');

function read(bytes: Uint8Array, cuts: readonly number[]): { all: Phrase[]; end: Result<number> } {
  const reader = new LibraryReader();
  const all: Phrase[] = [];
  const places = [...cuts, bytes.length].map((c) => c % (bytes.length + 1)).sort((a, b) => a - b);
  let from = 0;
  for (const to of [...places, bytes.length]) {
    for (const { at, phrase } of reader.take(bytes.subarray(from, to))) {
      expect(at).toBe(all.length);
      all.push(phrase);
    }
    from = to;
  }
  return { all, end: reader.end() };
}

const bytesOf = (text: string) => new TextEncoder().encode(text);
const cuts = fc.array(fc.nat(), { maxLength: 12 });

describe('a library file in pieces', () => {
  it('is the same library, a phrase in a line, much shorter', () => {
    expect(decodeLibrary(compact)).toEqual(decodeLibrary(pretty));
    expect(compact.length).toBeLessThan(pretty.length / 2);
    expect(compact.split('\n')).toHaveLength(phrases.length + 3);
    expect([...libraryPieces([])].join('')).toBe(
      '{"format":"degreewise-library","version":1,"phrases":[\n]}\n',
    );
  });

  it('reads what was read whole, wherever it is cut', () => {
    for (const text of [pretty, compact, `\ufeff${pretty}`]) {
      const bytes = bytesOf(text);
      fc.assert(
        fc.property(cuts, (where) => {
          const { all, end } = read(bytes, where);
          expect(end).toEqual({ ok: true, value: phrases.length });
          expect(all).toEqual(phrases);
        }),
        { numRuns: 60 },
      );
    }
  });

  it('is refused exactly where it is refused whole, whatever was done to it', () => {
    const small = encodeLibrary({
      format: 'degreewise-library',
      version: 1,
      phrases: phrases.slice(0, 2),
    });
    let refused = 0;
    const change = fc.record({
      at: fc.nat({ max: small.length - 1 }),
      away: fc.integer({ min: 0, max: 3 }),
      put: fc.constantFrom('', ',', ']', '[', '{', '}', '"', '\\', '0', ' ', '[]'),
    });
    fc.assert(
      fc.property(change, cuts, ({ at, away, put }, where) => {
        const text = small.slice(0, at) + put + small.slice(at + away);
        const whole = decodeLibrary(text);
        const { all, end } = read(bytesOf(text), where);
        expect(end.ok, text).toBe(whole.ok);
        if (whole.ok) expect(all).toEqual(whole.value.phrases);
        else refused += 1;
      }),
      { numRuns: 1_500 },
    );
    expect(refused).toBeGreaterThan(300);
  });

  it('says what is wrong, and where', () => {
    const twice = [...libraryPieces([phrases[0]!, phrases[0]!])].join('');
    expect(read(bytesOf(twice), []).end).toMatchObject({
      problems: [{ message: 'the phrase has the same id as phrase 1', pointer: '/phrases/1/id' }],
    });
    const broken = compact.replace('"Quay"', '7');
    expect(read(bytesOf(broken), [])).toMatchObject({
      all: [],
      end: { problems: [{ pointer: '/phrases/0/meta/title' }] },
    });
    expect(read(bytesOf(compact.slice(0, -40)), []).end).toMatchObject({
      problems: [{ message: 'the file ends in the middle of its phrases' }],
    });
    expect(
      read(bytesOf(compact.replace('"version":1,"phrases"', '"version":9,"phrases"')), []).end,
    ).toMatchObject({ problems: [{ pointer: '/version' }] });
    expect(read(new Uint8Array([0x7b, 0xff, 0x7d]), []).end).toMatchObject({
      problems: [{ message: 'the file is no text in UTF-8' }],
    });
    expect(read(bytesOf(encodePhrase(phrases[0]!)), []).end.ok).toBe(false);
  });

  it('gives up after twenty broken phrases, and at one without an end', () => {
    const many = `{"format":"degreewise-library","version":1,"phrases":[${'{},'.repeat(1_000)}{}]}`;
    const { end } = read(bytesOf(many), []);
    expect(end.ok ? 0 : end.problems.length).toBeLessThan(60);
    const splitter = new PhraseSplitter(1_000);
    splitter.take('{"phrases":[');
    for (let i = 0; i < 100; i++) splitter.take('{'.repeat(100));
    expect(splitter.problem?.message).toContain('1000 characters');
    const around = new PhraseSplitter(1_000);
    for (let i = 0; i < 100; i++) around.take(' '.repeat(1_000));
    expect(around.problem?.message).toContain('around');
  });

  it('is known by its beginning', () => {
    expect([pretty, compact].map((t) => isLibrary(bytesOf(t)))).toEqual([true, true]);
    expect(isLibrary(bytesOf(encodePhrase(phrases[0]!)))).toBe(false);
    expect(isLibrary(bytesOf('[C] {C7} q 3:5'))).toBe(false);
  });
});
