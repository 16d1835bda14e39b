import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Library, Phrase } from '../../../../src/core/phrase/types';
import type { Result } from '../../../../src/core/result';
import { encodeLibrary, encodePhrase } from '../../../../src/io/json';
import { KINDS, PHRASES } from '../../../../src/io/kinds/kinds';
import { decodeLibrary } from '../../../../src/io/library/decode';
import { isLibrary, LibraryReader } from '../../../../src/io/library/read';
import { LibrarySplitter } from '../../../../src/io/library/split';
import { libraryPieces } from '../../../../src/io/library/write';
import { ORDERS, order } from '../../../support/orders';
import { phraseNamed } from '../../../support/phrase-named';

/* The reader that takes a file whole is the oracle of the one that takes it in pieces. */

const TITLES = ['Quay', '"[{,]}"', 'back\\slash\\', '♭3 – 𝄞', ']]]', ''];
const phrases = TITLES.map((title, i) => phraseNamed(`p${i}`, title));
const pretty = encodeLibrary({ format: 'degreewise-library', version: 2, phrases });
const compact = [...libraryPieces(phrases)].join('');

function read(bytes: Uint8Array, cuts: readonly number[]): { all: Phrase[]; end: Result<number> } {
  const reader = new LibraryReader();
  const all: Phrase[] = [];
  const places = [...cuts, bytes.length].map((c) => c % (bytes.length + 1)).sort((a, b) => a - b);
  let from = 0;
  for (const to of [...places, bytes.length]) {
    for (const { list, at, value } of reader.take(bytes.subarray(from, to))) {
      expect([list, at]).toEqual(['phrases', all.length]);
      all.push(value as Phrase);
    }
    from = to;
  }
  return { all, end: reader.end() };
}

const kinds = [...KINDS, ORDERS];
const bytesOf = (text: string) => new TextEncoder().encode(text);
const cuts = fc.array(fc.nat(), { maxLength: 12 });

describe('a library file in pieces', () => {
  it('is the same library, a phrase in a line, much shorter', () => {
    expect(decodeLibrary(compact)).toEqual(decodeLibrary(pretty));
    expect(compact.length).toBeLessThan(pretty.length / 2);
    expect(compact.split('\n')).toHaveLength(phrases.length + 3);
    expect([...libraryPieces([])].join('')).toBe(
      '{"format":"degreewise-library","version":2,"phrases":[\n]}\n',
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
      version: 2,
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
      read(bytesOf(compact.replace('"version":2,"phrases"', '"version":9,"phrases"')), []).end,
    ).toMatchObject({ problems: [{ pointer: '/version' }] });
    expect(read(new Uint8Array([0x7b, 0xff, 0x7d]), []).end).toMatchObject({
      problems: [{ message: 'the file is no text in UTF-8' }],
    });
    expect(read(bytesOf(encodePhrase(phrases[0]!)), []).end.ok).toBe(false);
  });

  it('holds things of other kinds in a list of their own, before or behind the phrases', () => {
    const others = TITLES.map((title, i) => ({ ...order(`p${i}`, title, i) }));
    const pieces = [...libraryPieces(phrases, others)].join('');
    const library: Library = { format: 'degreewise-library', version: 2, phrases, others };
    expect(decodeLibrary(pieces, kinds)).toEqual({ ok: true, value: library });
    const { format, version } = library;
    const turned = JSON.stringify({ format, version, others, phrases });
    for (const text of [pieces, encodeLibrary(library), turned]) {
      fc.assert(
        fc.property(cuts, (where) => {
          const reader = new LibraryReader(kinds);
          const found = { phrases: [] as unknown[], others: [] as unknown[] };
          const bytes = bytesOf(text);
          const places = where.map((c) => c % bytes.length).sort((a, b) => a - b);
          for (const [i, to] of [...places, bytes.length].entries()) {
            for (const e of reader.take(bytes.subarray(places[i - 1] ?? 0, to))) {
              expect(e.kind).toBe(e.list === 'phrases' ? PHRASES : ORDERS);
              found[e.list].push(e.value);
            }
          }
          expect(reader.end()).toEqual({ ok: true, value: 12 });
          expect(found).toEqual({ phrases, others });
        }),
        { numRuns: 30 },
      );
    }
  });

  it('refuses what it does not know among them, with the place', () => {
    const libraryWith = (...others: readonly unknown[]) =>
      bytesOf([...libraryPieces(phrases.slice(0, 1), others)].join(''));
    const later = libraryWith(order('a', 'A'), { format: 'degreewise-map', version: 1 });
    for (const [bytes, pointer, message] of [
      [later, '/others/1/format', 'this program does not know the format degreewise-map'],
      [libraryWith(phrases[1]), '/others/0/format', 'a phrase stands among the things'],
      [libraryWith(7), '/others/0', 'there is no phrase and no library here'],
      [libraryWith(order('a', 'A'), order('a', 'A')), '/others/1/id', 'the same id as entry 1'],
      [libraryWith({ ...order('a', 'A'), sets: -1 }), '/others/0', 'too_small'],
    ] as const) {
      const reader = new LibraryReader(kinds);
      expect([...reader.take(bytes)].every((e) => e.list === 'phrases' || e.at === 0)).toBe(true);
      const streamed = reader.end();
      const whole = decodeLibrary(new TextDecoder().decode(bytes), kinds);
      for (const end of [streamed, whole]) {
        expect(end.ok ? null : end.problems[0]).toMatchObject({ pointer });
        expect(end.ok ? '' : end.problems[0]!.message).toContain(message);
      }
    }
  });

  it('gives up after twenty broken phrases, and at one without an end', () => {
    const many = `{"format":"degreewise-library","version":2,"phrases":[${'{},'.repeat(1_000)}{}]}`;
    const { end } = read(bytesOf(many), []);
    expect(end.ok ? 0 : end.problems.length).toBeLessThan(60);
    const splitter = new LibrarySplitter(1_000);
    splitter.take('{"phrases":[');
    for (let i = 0; i < 100; i++) splitter.take('{'.repeat(100));
    expect(splitter.problem?.message).toContain('1000 characters');
    const around = new LibrarySplitter(1_000);
    for (let i = 0; i < 100; i++) around.take(' '.repeat(1_000));
    expect(around.problem?.message).toContain('around');
  });

  it('is known by its beginning', () => {
    expect([pretty, compact].map((t) => isLibrary(bytesOf(t)))).toEqual([true, true]);
    expect(isLibrary(bytesOf(encodePhrase(phrases[0]!)))).toBe(false);
    expect(isLibrary(bytesOf('[C] {C7} q 3:5'))).toBe(false);
  });
});
