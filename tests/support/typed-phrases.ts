import type { Phrase } from '../../src/core/phrase/types';
import { build } from './build';

/** A phrase with the keys that write it on an empty page, one after the other. */
export interface TypedPhrase {
  readonly name: string;
  /** Names of keys as the keyboard gives them; written without a pause. */
  readonly keys: readonly string[];
  readonly expected: Phrase;
  readonly notes: number;
  /** Only frets in one rhythm, or with techniques. */
  readonly plain: boolean;
}

/** `5 + 7 ↵`: keys by spaces, with short names for those that print nothing. */
function keysOf(text: string): readonly string[] {
  const names: Readonly<Record<string, string>> = {
    '↵': 'Enter',
    '↑': 'ArrowUp',
    '↓': 'ArrowDown',
    '←': 'ArrowLeft',
    '→': 'ArrowRight',
    '⇧↓': 'Shift+ArrowDown',
    '⇧↑': 'Shift+ArrowUp',
    '⌂': 'Home',
    pgup: 'PageUp',
    pgdn: 'PageDown',
    'alt↑': 'Alt+ArrowUp',
  };
  return text
    .trim()
    .split(/\s+/u)
    .map((word) => names[word] ?? word);
}

function typed(
  name: string,
  kind: 'plain' | 'techniques',
  keys: readonly string[],
  expected: Phrase,
): TypedPhrase {
  const notes = expected.voices.reduce(
    (sum, v) => sum + v.events.reduce((n, e) => n + e.notes.length, 0),
    0,
  );
  return { name, keys: keysOf(keys.join(' ')), expected, notes, plain: kind === 'plain' };
}

const CHORD = '1/7+2/8+3/7';
const LOWER = '1/5+2/6+3/5';
/** A bar of comping: down, up, a rest, up, down, up, down, up. */
const comping = (chord: string) =>
  `${chord}@sdown ${chord}@sup - ${chord}@sup ${chord}@sdown ${chord}@sup ${chord}@sdown ${chord}@sup`;
const COMPING_KEYS = 'D ↵ = U r = = D = U = D = U';

/** Three phrases of four bars in the ways a teacher plays one thing. Invented. */
export const TYPED_PHRASES: readonly TypedPhrase[] = [
  typed(
    'single notes with bends',
    'techniques',
    [
      '5 + 5 ↵ 8 b ↵ 8 + 5 - 8 ↵ 5 - 7 ↵',
      't 5 ↵ 7 + 5 ↵ t q 8 b b - 7 ; v ↵',
      'e ↑ ↑ 1 2 ↵ f f 2 - 4 c 2 - 4 1 / 2 1',
      'w 4 B alt↑ v v',
    ],
    build(
      [
        'e 3/5 2/5 2/8(bend:A4) 2/8 1/5 2/8 2/5 3/7',
        'e3 3/5 3/7 2/5 q 2/8(rel:A4) h 3/7(vib)',
        'e 1/12 1/10(f:2) 2/12(curl,f:4) 2/10(f:2) 3/12(f:4) 3/9(s,f:1) 3/10(f:2) 3/9(f:1)',
        'w 3/12(bend:Bb4,vib:wide,f:4)',
      ].join(' | '),
    ),
  ),
  typed(
    'double stops with slide-ins',
    'techniques',
    ['q 9 ↑ 8 ⇧↓ a ↵ = = r', '7 ↑ 6 ⇧↓ a ↵ = = r', '1 2 ↑ 1 2 ↵ = = =', '; ↓ 9 ↑ 8 ⇧↓ a a ↵ ='],
    build(
      [
        'q 3/9(in:-1)+2/8(in:-1) 3/9(in:-1)+2/8(in:-1) 3/9(in:-1)+2/8(in:-1) -',
        'q 3/7(in:-1)+2/6(in:-1) 3/7(in:-1)+2/6(in:-1) 3/7(in:-1)+2/6(in:-1) -',
        'q 3/12+2/12 3/12+2/12 3/12+2/12 3/12+2/12',
        'h 3/9(in:1)+2/8(in:1) 3/9(in:1)+2/8(in:1)',
      ].join(' | '),
    ),
  ),
  typed(
    'comping with strokes, over a second voice',
    'techniques',
    [
      `7 ↑ 8 ↑ 7 ${COMPING_KEYS}`,
      `5 ↓ 6 ↓ 5 ${COMPING_KEYS}`,
      `7 ↑ 8 ↑ 7 ${COMPING_KEYS}`,
      'w 5 ↓ 6 ↓ 5 D',
      '⌂ V ↓ ↓ 5 ↵ = = =',
    ],
    build([`e ${comping(CHORD)}`, comping(LOWER), comping(CHORD), `w ${LOWER}@sdown`].join(' | '), {
      second: 'w 5/5 | 5/5 | 5/5 | 5/5',
    }),
  ),
];

/** Plain lines in one rhythm, by each of the ways digits are read. Invented. */
export const PLAIN_LINES: readonly TypedPhrase[] = [
  typed(
    'a line by frets',
    'plain',
    [
      '5 ↵ 7 + 5 ↵ 8 + 5 ↵ 8 - 8 ↵ 5 ↵',
      '6 - 7 ↵ 5 - 7 ↵ 5 + 5 ↵ 7 + 6 ↵',
      '8 - 7 + 6 ↵ 5 - 5 ↵ 7 - 5 ↵ 7 ↵',
      '5 + 5 + 5 + 5 - 8 - 7 - 7 ↵ 5',
    ],
    build(
      [
        'e 3/5 3/7 2/5 2/8 1/5 1/8 2/8 2/5',
        'e 2/6 3/7 3/5 4/7 4/5 3/5 3/7 2/6',
        'e 2/8 3/7 2/6 2/5 3/5 3/7 4/5 4/7',
        'e 4/5 3/5 2/5 1/5 2/8 3/7 4/7 4/5',
      ].join(' | '),
    ),
  ),
  typed(
    'a line by degrees',
    'plain',
    ['f 1 3 5 6 5 3 2 1', 'b 3 3 5 b 7 6 5 3 1', '1 2 b 3 3 5 6 5 6', 'R 6 5 b 5 4 b 3 2 R'],
    build(
      [
        'e 3/5 2/5 2/8 1/5 2/8 2/5 3/7 3/5',
        'e 3/8 2/5 2/8 1/6 1/5 2/8 2/5 3/5',
        'e 3/5 3/7 3/8 2/5 2/8 1/5 2/8 1/5',
        'e 1/8 1/5 2/8 2/7 2/6 3/8 3/7 3/5',
      ].join(' | '),
    ),
  ),
  typed(
    'a line by fingers',
    'plain',
    [
      'f f - - 1 4 + 1 4 + 1 3 + 1 4',
      '+ 1 4 - 4 1 - 3 1 - 4 1',
      '1 4 + 1 3 + 1 4 4 1',
      '- 3 1 3 1 - 4 1 - 4 1',
    ],
    build(
      [
        'e 5/5(f:1) 5/8(f:4) 4/5(f:1) 4/8(f:4) 3/5(f:1) 3/7(f:3) 2/5(f:1) 2/8(f:4)',
        'e 1/5(f:1) 1/8(f:4) 2/8(f:4) 2/5(f:1) 3/7(f:3) 3/5(f:1) 4/8(f:4) 4/5(f:1)',
        'e 4/5(f:1) 4/8(f:4) 3/5(f:1) 3/7(f:3) 2/5(f:1) 2/8(f:4) 2/8(f:4) 2/5(f:1)',
        'e 3/7(f:3) 3/5(f:1) 3/7(f:3) 3/5(f:1) 4/8(f:4) 4/5(f:1) 5/8(f:4) 5/5(f:1)',
      ].join(' | '),
    ),
  ),
];

/** The music of a phrase without names and ids, which typing cannot know. */
export function musicOf(p: Phrase) {
  return {
    pickup: p.pickup,
    bars: p.bars,
    length: p.length,
    chords: p.chords,
    voices: p.voices.map((v) => ({
      ...v,
      events: v.events.map((e) => ({ ...e, notes: e.notes.map(({ id: _, ...n }) => n) })),
    })),
  };
}
