import { describe, expect, it } from 'vitest';
import { define } from '../../../../src/core/search/define/define';
import { readQuery } from '../../../../src/core/search/query/read';
import { build } from '../../../support/build';

// Over G7: R 3, over C7: 5 6 b7 with a slide, then a bend from b7 to R.
const phrase = build('q 4/5 e 3/4 3/5 h - | e 4/5 2/5(in:-1) q. 3/3 e - q 3/3(bend:C4)', {
  id: 'walk',
  title: 'Exercise 5',
  key: 'G blues',
  chords: 'G7 | C7',
  meta: { tags: ['over the IV'], level: 2, modified: '2026-11-20T10:00:00Z' },
});
const ids = phrase.voices[0].events.map((e) => e.notes[0].id);

/** Places of the matched notes in the line, from 1; null where the phrase is not found. */
function matched(text: string): readonly number[] | null {
  const read = readQuery(text);
  if (!read.ok) throw new Error(`${text}: ${read.problems[0]!.message}`);
  const found = define(read.value.query, phrase);
  return found.holds ? ids.flatMap((id, i) => (found.notes.has(id) ? [i + 1] : [])) : null;
}

describe('what a query means', () => {
  // The line: 1 G (R) 2 B (3) 3 C (4), over C7: 4 G (5) 5 E (3) 6 B♭ (♭7), rest, 7 B♭ bent to C.
  it.each<[string, readonly number[] | null]>([
    ['R 3 4', [1, 2, 3]],
    ['R 4', null],
    ['R .. 4', [1, 3]],
    ['R ? 4', [1, 2, 3]],
    ['5 3 b7 over IV', [4, 5, 6]],
    ['5 3 b7 over I', null],
    ['5 3 b7 over C7', [4, 5, 6]],
    ['3+slide', [5]],
    ['3+slide b7', [5, 6]],
    ['3+bend', null],
    ['b7 R', [6, 7]],
    ['R+bend', [7]],
    ['b7+bend', [7]],
    ['5 <3', null],
    ['5 >3 >b7', null],
    ['5 >3 <b7', [4, 5, 6]],
    ['tonic:R-6-b3', [4, 5, 6]],
    ['5', [4]],
    ['b6', null],
    ['rhythm:q.-re-q', [6, 7]],
    ['rhythm:q.-q', null],
    ['contour:>><', [1, 2, 3, 4]],
    ['contour:>>>', null],
    ['intervals:+4+1-5', [1, 2, 3, 4]],
    ['with:slide', [5]],
    ['with:bend', [7]],
    ['role:chord-tone', [1, 2, 4, 5, 6, 7]],
    ['first:R last:b7', [1, 7]],
    ['first:3', null],
    ['I7>IV7', []],
    ['IV7>I7', null],
    // Two dominants a fourth apart, wherever they stand, at the end of the lane.
    ['fits:I7>IV7', []],
    ['fits:V7>I7', []],
    ['fits:A7>D9', []],
    ['fits:V>I', []],
    ['fits:I7>IVmaj7', null],
    ['fits:i>iv', null],
    ['fits:I7', null],
    ['fits:I7>IV7>I7', null],
    ['fits:N.C.>IV7', null],
    ['IV', [4, 5, 6, 7]],
    ['chord:C7', []],
    ['chord:C', null],
    ['level:2..3 bars:2 notes:7 tempo:1..', []],
    ['span:9', []],
    ['span:10', null],
    ['frets:3..5 strings:2..4', []],
    ['frets:4..', null],
    ['key:G', []],
    ['key:G-major', null],
    ['key:blues', []],
    ['feel:straight meter:4/4', []],
    ['title:exercise tag:"the iv"', []],
    ['style:exercise', null],
    ['since:2026-11', []],
    ['since:2026-11-21', null],
    ['before:2026-11-21', []],
    ['exercise not with:tap', []],
    ['not exercise', null],
    ['with:tap or with:slide', [5]],
    ['with:slide with:bend', [5, 7]],
  ])('%s', (text, notes) => expect(matched(text)).toEqual(notes));
});

describe('what a phrase fits', () => {
  const holds = (chords: string, text: string, key = 'C') => {
    const read = readQuery(text);
    if (!read.ok) throw new Error(text);
    return define(read.value.query, build('h 3/5 3/7 | h 2/5 2/8', { key, chords })).holds;
  };

  it.each<[lane: string, fits: string, boolean]>([
    // A chord that goes on is one chord; what is added to a dominant leaves it one.
    ['C7 | C7', 'fits:IV7', true],
    ['C13 | C13', 'fits:Ab9', true],
    ['Cmaj7', 'fits:IV7', false],
    ['Cmaj7', 'fits:IV', true],
    ['C6', 'fits:Imaj7', true],
    ['Cm7', 'fits:ii7', true],
    ['Cm7b5', 'fits:ii7', false],
    ['Cm7b5', 'fits:ii', true],
    ['NC', 'fits:N.C.', true],
    ['', 'fits:I7', false],
  ])('over %s: %s is %s', (lane, text, expected) => {
    expect(holds(lane, text)).toBe(expected);
  });

  it.each<[lane: string, fits: string, boolean]>([
    ['G7 | C', 'fits:V>I', true],
    ['D7 | G', 'fits:V>I', true],
    ['Dm7 G7 | Cmaj7', 'fits:V>I', true],
    ['C F | G7 C', 'fits:V>I', true],
    ['C F | C', 'fits:V>I', false],
    ['Dm7 G7 | Cmaj7', 'fits:ii7>V7', false],
    ['C | Dm7 G7', 'fits:ii7>V7', true],
    ['Dm7 G7 | Cmaj7', 'fits:Imaj7', false],
    ['NC | C7', 'fits:N.C.>IV7', true],
    ['Dm7 | NC C7', 'fits:N.C.>IV7', true],
  ])('ends over %s: %s is %s', (lane, text, expected) => {
    expect(holds(lane, text)).toBe(expected);
  });

  it('reads numerals in the key of the phrase', () => {
    expect(holds('Cm7 | Abmaj7', 'fits:i7>VImaj7', 'C minor')).toBe(true);
    expect(holds('Cm7 | Abmaj7', 'fits:i7>VImaj7', 'C')).toBe(false);
  });
});
