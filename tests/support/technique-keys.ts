import type { BendPoint, Note, PhraseEvent, PitchedNote } from '../../src/core/phrase/types';
import { midiOf } from '../../src/core/theory/pitch';

type Bend = NonNullable<PitchedNote['bend']>;
type Fields = { -readonly [K in keyof PitchedNote]?: PitchedNote[K] };

/** Shapes in the order in which one key goes through them, with the curve each has at first. */
const SHAPES: readonly (readonly [Bend['shape'], readonly (readonly [number, number])[]])[] = [
  [
    'bend',
    [
      [0, 0],
      [50, 100],
      [100, 100],
    ],
  ],
  [
    'bend-release',
    [
      [0, 0],
      [25, 100],
      [50, 100],
      [75, 0],
      [100, 0],
    ],
  ],
  [
    'pre-bend',
    [
      [0, 100],
      [100, 100],
    ],
  ],
  [
    'pre-bend-release',
    [
      [0, 100],
      [50, 100],
      [75, 0],
      [100, 0],
    ],
  ],
  [
    'curl',
    [
      [0, 0],
      [100, 100],
    ],
  ],
];

/** What is pressed after the fret of a note. */
export function noteKeys(n: Note): readonly string[] {
  if (n.kind === 'dead') {
    return n.scrape === undefined ? ['x'] : times('X', n.scrape === 'down' ? 1 : 2);
  }
  const { bend, slideIn, vibrato, slideOut } = n;
  return [
    ...(n.harmonic === undefined ? [] : ['o']),
    ...(n.attack === undefined ? [] : [ATTACK_KEYS[n.attack]]),
    ...(slideIn?.kind === 'interval'
      ? [...times('a', slideIn.from === 'below' ? 1 : 2), ...wider(slideIn.semitones - 1)]
      : []),
    ...(bend === undefined ? [] : bendKeys(n, bend)),
    ...(vibrato === undefined ? [] : times('v', vibrato === 'narrow' ? 1 : 2)),
    ...(slideOut === undefined ? [] : times('\\', slideOut === 'down' ? 1 : 2)),
    ...(n.ghost === true ? ['g'] : []),
    ...(n.letRing === true ? ['l'] : []),
  ];
}

/** What is pressed when everything that is struck together is there. */
export function strikeKeys(e: PhraseEvent): readonly string[] {
  return [
    ...(e.stroke === undefined ? [] : [e.stroke === 'down' ? 'd' : 'u']),
    ...(e.strum === undefined ? [] : [e.strum === 'down' ? 'D' : 'U']),
    ...(e.palmMute === true ? ['m'] : []),
    ...(e.accent === true ? ['A'] : []),
  ];
}

const ATTACK_KEYS: Readonly<Record<NonNullable<PitchedNote['attack']>, string>> = {
  'hammer-on': 'h',
  'pull-off': 'h',
  slide: '/',
  tap: 'T',
  // Only in the list of commands; `sayableEvents` leaves none.
  'slide-plucked': '',
};

function bendKeys(n: PitchedNote, bend: Bend): readonly string[] {
  if (bend.shape === 'curl') return ['c'];
  const nth = SHAPES.findIndex(([shape]) => shape === bend.shape) + 1;
  return [...times('B', nth), ...wider(midiOf(bend.target) - midiOf(n.pitch) - 2)];
}

/** Semitones more, or where negative less. */
function wider(by: number): readonly string[] {
  return times(by > 0 ? 'Alt+ArrowUp' : 'Alt+ArrowDown', Math.abs(by));
}

function times(key: string, count: number): readonly string[] {
  return Array<string>(count).fill(key);
}

/** Events with what keys alone can say; the rest is in the list of commands. */
export function sayableEvents(events: readonly PhraseEvent[]): readonly PhraseEvent[] {
  return events.map((e, i): PhraseEvent => {
    const { guessed, staccato, tenuto, tremolo, rake, graces, ...plain } = e;
    const before = events[i - 1];
    const notes = e.notes.map((n): Note => {
      if (n.kind === 'dead') return n;
      const joined = before !== undefined && before.onset + before.duration === e.onset;
      const source = joined ? before.notes.find((m) => m.string === n.string) : undefined;
      return sayableNote(n, source?.kind === 'pitched');
    });
    return { ...plain, notes: notes as unknown as PhraseEvent['notes'] };
  });
}

function sayableNote(n: PitchedNote, led: boolean): PitchedNote {
  const { id, kind, string, fret, pitch } = n;
  const kept: Fields = {};
  const { attack, slideIn, bend, harmonic, vibrato, slideOut, ghost, letRing } = n;
  if (attack === 'tap' || (led && attack !== undefined && attack !== 'slide-plucked')) {
    kept.attack = attack;
  }
  // The key begins below the note, where fret 1 has nothing.
  if (slideIn?.kind === 'interval' && fret > 1) kept.slideIn = slideIn;
  if (bend !== undefined) kept.bend = { ...bend, curve: curveOf(bend.shape) } as Bend;
  if (harmonic?.kind === 'natural') kept.harmonic = harmonic;
  if (vibrato !== undefined) kept.vibrato = vibrato;
  if (slideOut !== undefined) kept.slideOut = slideOut;
  if (ghost !== undefined) kept.ghost = ghost;
  if (letRing !== undefined) kept.letRing = letRing;
  return { id, kind, string, fret, pitch, ...kept };
}

function curveOf(shape: Bend['shape']): readonly BendPoint[] {
  return SHAPES.find(([s]) => s === shape)![1].map(([at, amount]) => ({ at, amount }));
}
