import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { decodePhrase, encodePhrase } from '../../../../src/io/json';
import { readQuick } from '../../../../src/io/quick/read';
import { writeQuick } from '../../../../src/io/quick/write';

const ORIGIN = { id: 'quick', now: '2026-11-25T12:00:00Z' };

/** `line:column message` of every problem; an error where the text is read. */
function refused(text: string): readonly string[] {
  const read = readQuick(text, ORIGIN);
  if (read.ok) throw new Error(`read: ${text}`);
  return read.problems.map((p) => `${p.line}:${p.column} ${p.message}`);
}

/** The phrase, which can be stored and comes back equal. */
function stored(text: string): Phrase {
  const read = readQuick(text, ORIGIN);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  expect(decodePhrase(encodePhrase(read.value))).toEqual({ ok: true, value: read.value });
  return read.value;
}

describe('quick text that would not end', () => {
  it.each(['[0/4] q 1:5', 'q 1:5 | 0/4 q 1:5', 'q 1:5 r r r | 0/4'])('%s', (text) => {
    expect(refused(text).join('\n')).toMatch(/a bar has 1 to 64 beats, not 0/u);
  });

  it('says what a phrase cannot hold: beats shorter than 16ths, a third voice', () => {
    const beats = 'cannot be kept: beats are 16ths at the shortest';
    expect(refused('[C, 5/32] e 3:5')).toEqual([`1:5 the metre 5/32 ${beats}`]);
    expect(refused('w 3:5 | 3/64 e 3:5')).toEqual([`1:9 the metre 3/64 ${beats}`]);
    expect(refused('w 3:5 2nd: w 4:5 3rd: w 5:5')).toEqual([
      '1:18 a phrase has two voices at most',
    ]);
  });

  it('is refused where it is longer than can be stored', () => {
    expect(refused("[1/16] '999999999 1:5 1:5")).toEqual([
      expect.stringMatching(/^1:\d+ the text has more than 10000 bars/u),
    ]);
  });
});

describe('chords', () => {
  it('right behind a bar line stand at the line, under a note that is held over it', () => {
    const p = stored('[F] {F7} h. 3:5 e 2:6 e_h 3:7 | {Bb7} h 2:6');
    expect(p.chords.map((c) => c.onset)).toEqual([0, 40_320]);
    const later = stored("[F] {F7} h. 3:5 e 2:6 e_h 3:7 | {Bb7}'60480 h 2:6");
    expect(later.chords.map((c) => c.onset)).toEqual([0, 60_480]);
    for (const q of [p, later]) expect(stored(writeQuick(q).text).chords).toEqual(q.chords);
  });
});

describe('what is read can be stored, or is told with its place', () => {
  it.each([
    ['[5 quarters] q 1:5', '1:2 '],
    ['[C, 9999 quarters] q 1:5', '1:5 '],
    ['[swing 0:1] q 1:5', '1:2 '],
    ['[swing 4:2] q 1:5', '1:2 the swing ratio 4:2 is not in lowest terms'],
    ['[100000 mm] q 1:5', '1:2 '],
    ['[99 frets] q 1:5', '1:2 '],
    ['[capo 30] q 1:5', '1:2 a capo at fret 30'],
    [`["${'x'.repeat(501)}"] q 1:5`, '1:2 '],
    [`[on "${'x'.repeat(201)}"] q 1:5`, '1:2 '],
    [`["a\\nb"] q 1:5`, '1:2 the text must be one line'],
    ['q 1:5v0.3', '1:3 '],
    ['q 1:5v99', '1:3 '],
    ['q 1:5 r 2:40', '1:9 '],
    [`"${'x'.repeat(501)}" q 1:5`, '1:1 '],
    ['"" q 1:5', '1:1 '],
    ['q 1:5 :|1', '1:7 '],
    ['q 1:5 r r r |0. q 1:5', '1:13 '],
    ['[tuning A9 A9] q 1:0', '1:2 string 1 tuned to A9'],
    ['q 1:5@1 x', '1:6 '],
    ["3'7( 1:5 1:6 1:7 )", '1:'],
  ])('%s', (text, start) => {
    const [first] = refused(text);
    expect(first?.startsWith(start), first).toBe(true);
  });

  it.each([
    ['[C] {C7} q 1:99 r', ['1:12 there is no fret 99']],
    ['[C] q 3:(99) r', ['1:7 there is no fret 99']],
    ['[C] q (5) r', ['1:7 no string has been named yet']],
    ['[C] 3(e 3:(99) 3:5 7) h. r', ['1:9 there is no fret 99']],
    ['[C] q 1:5tr99 r', ['1:10 there is no fret 99']],
    ['[C] q 3:5b99 r', ['1:10 there is no fret 99']],
    ['[C] q 3:g99,5 r', ['1:9 there is no fret 99']],
    ['[C, swing 0:0] q 1:9', ['1:5 swing 0:0 is no ratio of two whole numbers from 1 to 99']],
    ['[C, capo 30] q 1:9 2:3', ['1:5 a capo at fret 30 leaves no fret of 22']],
    ['[C] q 1:1 2 3 4 | q 1:5 6 7 8 e 9 q r', ['1:33 the last bar is 1.5 quarters too long']],
  ])('each mistake once, where it is and as what it is: %s', (text, told) => {
    expect(refused(text)).toEqual(told);
  });

  it('takes tunings and instruments by the names they have everywhere else', () => {
    const on = (head: string) => {
      const { tuning, capo, name } = stored(`[${head}] q 1:5`).instrument;
      return `${name}: ${tuning.map(formatPitch).join(' ')}${capo === 0 ? '' : `, capo ${capo}`}`;
    };
    expect(on('tuning drop D')).toBe('Guitar: E4 B3 G3 D3 A2 D2');
    expect(on('Dm, drop D, capo 2')).toBe('Guitar: E4 B3 G3 D3 A2 D2, capo 2');
    expect(on('tuning D A D G B E, C')).toBe('Guitar: E4 B3 G3 D3 A2 D2');
    expect(on('capo 3, ukulele')).toBe('Ukulele: A4 E4 C4 G4, capo 3');
    expect(on('bass')).toMatch(/^Bass/u);
    const [wrong] = refused('[C, tuning open Q] q 1:5');
    expect(wrong).toContain("'open Q' is no tuning that is known here");
  });

  it.each([
    '[C, 500 quarters] q 1:5',
    '[C, tuning G2 D2 A1 E1, 20 frets, clef bass-8] q 1:5 4:3',
    '[C, tuning E4 B3 G3 D3 A2 E2 B1] q 7:5',
    '[C, tuning drop D] q 6:0',
    '[ukulele] q 4:3',
    `["${'x'.repeat(500)}"] q 1:5v0.5`,
    '[64/16] s 1:5',
  ])('%s', (text) => {
    expect(stored(text).voices[0].events.length).toBeGreaterThan(0);
  });
});

it('quotes at most the beginning of a long word', () => {
  const word = 'y'.repeat(5_000);
  for (const text of [`[${word}] q 1:5`, `{${word}} q 1:5`, `q 1:5 ${word}`, `q 1:${word}`]) {
    for (const problem of refused(text)) expect(problem.length, problem).toBeLessThan(150);
  }
});

it('says where a pull-off stands, which is read from the other side by habit', () => {
  const read = readQuick('e 3:8 5p r', ORIGIN);
  expect(read.ok ? [] : read.problems.map((p) => p.fix)).toContain(
    'A pull-off stands before the fret that it leads to: 8 p5.',
  );
});
