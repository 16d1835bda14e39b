import { curveOfShape } from '../../phrase/bend-curve';
import type { Bend, BendPoint, PitchedNote } from '../../phrase/types';
import { bendSemitones } from '../../phrase/walk';
import { widestBend } from '../../technique/bend-width';
import { midiOf } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { allPitched, changePitched, ofPitched, withField } from '../change';
import { defineCommand } from '../command';
import type { Outcome } from '../outcome';
import { nextPlayable } from '../round';
import type { Chosen } from '../select';
import type { EditState } from '../state';

type Shape = Exclude<Bend['shape'], 'curl'>;

const SHAPES: readonly Shape[] = ['bend', 'bend-release', 'pre-bend', 'pre-bend-release'];

export const SHAPE_NAMES: Readonly<Record<Shape, string>> = {
  bend: 'bent up',
  'bend-release': 'bent up and released',
  'pre-bend': 'bent before it is struck',
  'pre-bend-release': 'bent before it is struck, then released',
};

/** Widths a player names, by semitones. */
const WIDTHS = [
  { value: 1, title: 'a semitone' },
  { value: 2, title: 'a whole tone' },
  { value: 3, title: 'a tone and a half' },
  { value: 4, title: 'two whole tones' },
] as const;

/**
 * One key: a whole tone up first, then the other shapes, then none. Several notes of
 * different shapes all get the one that one of them has: after one press they are alike.
 */
export const bendNext = defineCommand<undefined>({
  id: 'bend.next',
  group: 'Bends',
  title: 'Bend, with the next shape each time',
  words: 'bend release pre-bend',
  ask: { kind: 'nothing' },
  keys: [
    { key: 'b', value: undefined, reading: ['fret', 'finger'] },
    { key: 'B', value: undefined },
  ],
  apply: (s) => {
    const now = ofPitched(s, ({ bend }) => (bend?.shape === 'curl' ? undefined : bend?.shape));
    return nextPlayable<Shape | undefined>(s, [undefined, ...SHAPES], now, (next) =>
      next === undefined ? unbend(s) : withShape(s, next),
    );
  },
});

/** How far it is bent. */
export const bendWidth = defineCommand<1 | 2 | 3 | 4>({
  id: 'bend.width',
  group: 'Bends',
  title: 'Bend by',
  words: 'full half whole tone step',
  ask: { kind: 'choice', choices: WIDTHS },
  apply: (s, semitones) =>
    changePitched(
      s,
      (n, at) => bent(s, n, at, n.bend?.shape === 'curl' ? 'bend' : n.bend?.shape, semitones),
      `bent by ${WIDTHS[semitones - 1]!.title}`,
      `it is bent by ${WIDTHS[semitones - 1]!.title} already`,
    ),
});

/** How it is bent. */
export const bendShape = defineCommand<Shape | 'none'>({
  id: 'bend.shape',
  group: 'Bends',
  title: 'Play it',
  words: 'bend release pre-bend shape',
  ask: {
    kind: 'choice',
    choices: [
      ...SHAPES.map((value) => ({ value, title: SHAPE_NAMES[value] })),
      { value: 'none' as const, title: 'without a bend' },
    ],
  },
  apply: (s, shape) => (shape === 'none' ? unbend(s) : withShape(s, shape)),
});

/** A quarter tone up, as blue notes are coloured: all that are chosen, unless all are. */
export const curl = defineCommand<undefined>({
  id: 'bend.curl',
  group: 'Bends',
  title: 'Curl it up a quarter tone, or not',
  words: 'quarter tone blues slight bend',
  ask: { kind: 'nothing' },
  keys: [{ key: 'c', value: undefined }],
  apply: (s) => {
    const on = !allPitched(s, (n) => n.bend?.shape === 'curl');
    return changePitched(
      s,
      (n) => {
        if (!on) return withField(n, 'bend', undefined);
        const why = unbendable(n);
        return why ?? { ...n, bend: { shape: 'curl', curve: curveOfShape('curl') } };
      },
      on ? 'curled up a quarter tone' : 'without a bend',
    );
  },
});

/** The top of the bend comes sooner or later in the note. */
export const bendPace = defineCommand<'sooner' | 'later'>({
  id: 'bend.pace',
  group: 'Bends',
  title: 'Reach the top of the bend',
  words: 'timing curve fast slow',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'sooner', title: 'sooner' },
      { value: 'later', title: 'later' },
    ],
  },
  apply: (s, way) =>
    changePitched(
      s,
      (n) => {
        if (n.bend === undefined) return 'the note is not bent';
        const curve = paced(n.bend.curve, way === 'sooner' ? -10 : 10);
        return curve === null
          ? `it cannot be reached any ${way}`
          : { ...n, bend: { ...n.bend, curve } };
      },
      `the top comes ${way}`,
    ),
});

/** Inner points moved in time by percents of the note; null where they would meet another point. */
function paced(curve: readonly BendPoint[], by: number): readonly BendPoint[] | null {
  if (curve.length < 3) return null;
  const moved = curve.map((p, i) =>
    i === 0 || i === curve.length - 1 ? p : { ...p, at: p.at + by },
  );
  const ascending = moved.every((p, i) => i === 0 || p.at > moved[i - 1]!.at);
  return ascending ? moved : null;
}

function withShape(s: EditState, shape: Shape): Outcome {
  return changePitched(
    s,
    (n, at) => bent(s, n, at, shape, bendSemitones(n) || 2),
    SHAPE_NAMES[shape],
    `it is ${SHAPE_NAMES[shape]} already`,
  );
}

function unbend(s: EditState): Outcome {
  return changePitched(
    s,
    (n) => withField(n, 'bend', undefined),
    'without a bend',
    'it is not bent',
  );
}

/** Why a note cannot be bent at all; null where it can. */
function unbendable(n: PitchedNote): string | null {
  if (n.fret === 0) return 'an open string cannot be bent';
  if (n.trill !== undefined) return 'a note with a trill cannot be bent';
  if (n.harmonic?.kind === 'natural') return 'a natural harmonic is touched, not stopped';
  return null;
}

/**
 * The note with a bend; what it was bent by stays where only the shape changes. A curl's half
 * semitone is rounded up.
 */
export function bent(
  s: EditState,
  n: PitchedNote,
  at: Chosen,
  shape: Shape = 'bend',
  width = 2,
): PitchedNote | string {
  const why = unbendable(n);
  if (why !== null) return why;
  const most = widestBend(n.string);
  const semitones = Math.ceil(width);
  if (semitones > most) {
    return `on string ${n.string} a bend rises ${most} semitones at most`;
  }
  const target = spellAt(s.phrase, at.event.onset, midiOf(n.pitch) + semitones);
  const curve = n.bend?.shape === shape ? n.bend.curve : curveOfShape(shape);
  return { ...n, bend: { shape, target, curve } };
}

/** The note bent a semitone more or less; for the keys that widen and narrow. */
export function widenBend(s: EditState, n: PitchedNote, at: Chosen, by: 1 | -1) {
  const shape = n.bend?.shape === 'curl' ? 'bend' : n.bend?.shape;
  const width = Math.floor(bendSemitones(n)) + by;
  return width < 1 ? 'a bend rises a semitone at least' : bent(s, n, at, shape, width);
}
