import { describe, expect, it } from 'vitest';
import type { Problem } from '../../../../src/core/result';
import { decodePhrase, encodePhrase } from '../../../../src/io/json';
import { LIMITS } from '../../../../src/io/json/limits';
import { decodeAny, decodeLibrary } from '../../../../src/io/library/decode';
import { build } from '../../../support/build';

const phrase = build('q 5/7 e 4/5 4/7(h) | q. 3/5 e 3/7(bend:E4) q 2/5 2/8', {
  pickup: 20_160,
  chords: 'G7 C7',
});
const text = encodePhrase(phrase);

function problems(input: unknown): readonly Problem[] {
  const r = decodePhrase(input);
  return r.ok ? [] : r.problems;
}

/** A phrase whose first voice holds these events, written without spaces. */
function withEvents(events: string): string {
  return JSON.stringify({ ...phrase, voices: [{ events: [], tuplets: [] }] }).replace(
    '"events":[]',
    `"events":[${events}]`,
  );
}

describe('text that is cut off', () => {
  it('is refused at every place with the place of its end', () => {
    for (let at = 0; at < text.length - 2; at += 7) {
      const cut = text.slice(0, at);
      const [found, ...rest] = problems(cut);
      expect(rest).toEqual([]);
      expect(found?.message).toMatch(/^the text ends too early: /);
      const lines = cut.split('\n');
      // Spaces at the end do not count: the fault lies where something is missing.
      expect(found?.line).toBe(lines.length);
      expect(found?.column).toBe(lines.at(-1)!.length + 1);
    }
  });
});

describe('a later version', () => {
  it('is named before anything else is said of it', () => {
    const later = { format: 'degreewise-phrase', version: 9, things: Array(101).fill(0) };
    expect(problems(later)).toMatchObject([{ pointer: '/version' }]);
  });
});

describe('large and deep input', () => {
  it('is refused by its length before it is parsed', () => {
    const long = ' '.repeat(LIMITS.phraseText + 1);
    expect(problems(long)).toMatchObject([
      { message: expect.stringContaining('16777217 characters') },
    ]);
    expect(problems(`${' '.repeat(LIMITS.phraseText - text.length)}${text}`)).toEqual([]);
  });

  it('may be longer when it is a library', () => {
    const library = '{"format":"degreewise-library","version":1,"phrases":[]}';
    expect(decodeLibrary(' '.repeat(LIMITS.phraseText) + library).ok).toBe(true);
    expect(decodeAny(' '.repeat(LIMITS.phraseText) + library).ok).toBe(true);
    expect(decodeAny(' '.repeat(LIMITS.phraseText) + text)).toMatchObject({ ok: false });
  });

  it.each([
    ['open lists', '['.repeat(4_000_000)],
    ['lists', '['.repeat(4_000_000) + ']'.repeat(4_000_000)],
    ['objects', `${'{"a":'.repeat(2_000_000)}1${'}'.repeat(2_000_000)}`],
  ])('is refused by its depth before it is parsed: %s', (_, deep) => {
    expect(problems(deep)).toMatchObject([{ message: expect.stringContaining('levels deep') }]);
  });

  it('may hold brackets in texts', () => {
    const title = `${'['.repeat(100)}\\"{{`;
    const p = { ...phrase, meta: { ...phrase.meta, title } };
    expect(decodePhrase(encodePhrase(p))).toEqual({ ok: true, value: p });
  });

  it('is refused by its depth as a parsed value too, even if it holds itself', () => {
    const loop: Record<string, unknown> = { format: 'degreewise-phrase', version: 1 };
    loop.meta = loop;
    expect(problems(loop)).toMatchObject([
      { message: expect.stringContaining('nested too deeply') },
    ]);
  });

  it.each([
    ['bars', { bars: Array(LIMITS.bars + 1).fill(0) }, '/bars', '10001 entries'],
    ['tags', { meta: { tags: Array(101).fill('a') } }, '/meta/tags', '101 entries'],
    ['an unknown list', { x: Array(101).fill(0) }, '/x', '101 entries'],
    [
      'fields',
      Object.fromEntries(Array.from({ length: 101 }, (_, i) => [`k${i}`, 0])),
      '',
      '103 fields',
    ],
  ])('is refused by the length of a list: %s', (_, part, pointer, says) => {
    const found = problems({ ...{ format: 'degreewise-phrase', version: 1 }, ...part });
    expect(found).toMatchObject([{ pointer, message: expect.stringContaining(says) }]);
  });

  it('is refused by its notes', () => {
    const chord = `{"notes":[${'0,'.repeat(99)}0]},`;
    const found = problems(withEvents(`${chord.repeat(1_000)}{"notes":[0]}`));
    expect(found).toMatchObject([{ message: expect.stringContaining('too many notes') }]);
    expect(problems(withEvents('0,'.repeat(100_000).concat('0')))).toMatchObject([
      { pointer: '/voices/0/events', message: expect.stringContaining('100001 entries') },
    ]);
  });

  it('is refused by the number of its values', () => {
    const note = `{"bend":{"curve":[${'0,'.repeat(63)}0]}}`;
    const event = `{"notes":[${note},${note}]}`;
    const found = problems(withEvents(`${`${event},`.repeat(33_000)}0`));
    expect(found).toMatchObject([{ message: expect.stringContaining('holds too much') }]);
  });

  it('lists a hundred problems and stops reading', () => {
    const found = problems(withEvents('{},'.repeat(99_999).concat('{}')));
    expect(found).toHaveLength(101);
    expect(found.at(-1)?.message).toBe('only the first 100 problems are listed');
  });

  it('is read when it is merely long', () => {
    const events = Array.from({ length: 10_000 }, (_, i) => ({
      onset: i * 2_520,
      duration: 2_520,
      notes: [{ ...phrase.voices[0].events[0]!.notes[0], id: `n${i}` }] as const,
    }));
    const bars = Array.from({ length: 625 }, () => phrase.bars[0]!);
    const voices = [{ events, tuplets: [] }] as const;
    const long = { ...phrase, pickup: 0, bars, length: 625 * 40_320, chords: [], voices };
    expect(decodePhrase(JSON.stringify(long)).ok).toBe(true);
  });
});

describe('names that mean something to JavaScript', () => {
  it.each(['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty'])(
    '%s is a field like any other',
    (name) => {
      const odd = text.replace('"format"', `"${name}": {"polluted": true},\n  "format"`);
      expect(problems(odd)).toMatchObject([
        { pointer: '', message: `there is no field '${name}' here` },
      ]);
      expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    },
  );

  it('do not stand in for fields that are missing', () => {
    const inherited = `{"__proto__": ${text}}`;
    expect(problems(inherited)).toMatchObject([{ pointer: '/format' }]);
    const noVersion = text.replace('"version": 5,', '"__proto__": {"version": 3},');
    expect(problems(noVersion)).toMatchObject([{ pointer: '/version' }]);
  });
});

describe('markup and script in texts', () => {
  it('are texts', () => {
    const title = '<img src=x onerror="alert(1)"><script>alert(2)</script> & ]]>';
    const p = { ...phrase, meta: { ...phrase.meta, title, tags: ['<b>'] } };
    expect(decodePhrase(encodePhrase(p))).toEqual({ ok: true, value: p });
  });
});
