import { startAt } from '../../core/move/beat-move';
import { parseLane } from '../../core/move/lane';
import { defaultWay, movePhrase } from '../../core/move/move';
import { moveOctaves } from '../../core/move/octave-move';
import type {
  Destination,
  HandWay,
  MoveReport,
  MoveRequest,
  OctaveChoice,
  Way,
} from '../../core/move/request';
import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { type Key, parseKey } from '../../core/theory/key';
import { parseChordOrRoman } from '../../core/theory/roman';
import type { Goal, MoveForm } from './move-form';

/** What became of the form: nothing asked yet, a reason why it cannot be, or the moved phrase. */
export type Outcome =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'problems'; readonly problems: readonly Problem[] }
  | {
      readonly kind: 'moved';
      readonly phrase: Phrase;
      /** Null where nothing but the beat changed, which has no report of its own. */
      readonly report: MoveReport | null;
    };

/** The choices that mean something for a goal; empty lists are not shown. */
export interface Choices {
  readonly ways: readonly Way[];
  readonly octaves: readonly OctaveChoice[];
  readonly hands: readonly HandWay[];
}

const HANDS: readonly HandWay[] = ['shape', 'strings', 'area'];
const OCTAVES: readonly OctaveChoice[] = ['nearest', 'up', 'down'];

/**
 * Which choices go with a goal (M1, M2): only *real* keeps intervals, and never to the other mode;
 * *hold* and steps choose no octave; another beat moves no finger.
 * @param way The way in use.
 */
export function choicesFor(p: Phrase, goal: Goal | null, way: Way | null): Choices {
  const hands = goal === null || goal.kind === 'beat' ? [] : HANDS;
  const octaves = way === 'real' || way === 'chord' ? OCTAVES : [];
  return { ways: goal === null ? [] : waysFor(p, goal), octaves, hands };
}

function waysFor(p: Phrase, goal: Goal): readonly Way[] {
  switch (goal.kind) {
    case 'chord':
    case 'lane':
      return ['chord', 'real', 'hold'];
    case 'key': {
      const key = readKey(goal.text, p.key);
      const other = key !== null && (key.mode === 'minor') !== (p.key.mode === 'minor');
      return other ? ['chord', 'hold'] : ['real', 'chord', 'hold'];
    }
    case 'steps':
    case 'octaves':
    case 'beat':
      return [];
  }
}

/** The way in use: the one chosen if it goes with the goal, else the usual one. */
export function wayInUse(p: Phrase, form: MoveForm): Way | null {
  if (form.goal === null) return null;
  if (form.goal.kind === 'steps') return 'tonal';
  const ways = waysFor(p, form.goal);
  return ways.find((w) => w === form.way) ?? ways[0] ?? null;
}

/** Moves the phrase as the form says. Pure; a few milliseconds for a phrase of a few bars. */
export function runMove(p: Phrase, form: MoveForm): Outcome {
  const { goal } = form;
  if (goal === null || goal.text.trim() === '') return { kind: 'nothing' };
  if (goal.kind === 'beat') return moveBeat(p, goal.text);
  if (goal.kind === 'octaves') return moveByOctaves(p, goal.text, form.hand);
  const to = destinationOf(p, goal);
  if (!to.ok) return { kind: 'problems', problems: to.problems };
  if (to.value.kind === 'steps' && to.value.steps === 0) return { kind: 'nothing' };
  const way = wayInUse(p, form) ?? defaultWay(to.value);
  const { octaves } = choicesFor(p, goal, way);
  const octave = octaves.find((o) => o === form.octave);
  const request: MoveRequest = {
    to: to.value,
    way,
    adapt: way === 'hold' && form.adapt,
    ...(octave === undefined ? {} : { octave }),
    ...(form.hand === undefined ? {} : { hand: form.hand }),
  };
  return outcomeOf(movePhrase(p, request));
}

function outcomeOf(r: Result<{ readonly phrase: Phrase; readonly report: MoveReport }>): Outcome {
  return r.ok
    ? { kind: 'moved', phrase: r.value.phrase, report: r.value.report }
    : { kind: 'problems', problems: r.problems };
}

function destinationOf(p: Phrase, goal: Goal): Result<Destination> {
  switch (goal.kind) {
    case 'chord': {
      const chord = parseChordOrRoman(goal.text, p.key);
      return chord.ok ? ok({ kind: 'chord', chord: chord.value }) : chord;
    }
    case 'lane': {
      const bars = parseLane(goal.text, p.key);
      return bars.ok ? ok({ kind: 'lane', bars: bars.value }) : bars;
    }
    case 'key': {
      const key = readKey(goal.text, p.key);
      if (key !== null) return ok({ kind: 'key', key });
      return fail({
        message: `'${goal.text.trim()}' is no key`,
        fix: 'Write a tonic and a mode, for example Bb, F#m or G blues.',
      });
    }
    case 'steps': {
      const steps = readWhole(goal.text);
      if (steps !== null && Math.abs(steps) <= MOST_STEPS) return ok({ kind: 'steps', steps });
      return fail({
        message: `'${goal.text.trim()}' is no number of scale steps`,
        fix: `Write a whole number from −${MOST_STEPS} to ${MOST_STEPS}; 2 is up a third.`,
      });
    }
    case 'octaves':
    case 'beat':
      throw new RangeError(`${goal.kind} has no destination of movePhrase`);
  }
}

/** Two octaves of scale steps: more is an octave move as well. */
export const MOST_STEPS = 14;

/** A tonic without a mode keeps a blues a blues: its signature is the major one (D6). */
export function readKey(text: string, from: Key): Key | null {
  const key = parseKey(text);
  const bare = !/[\sm]/u.test(text.trim());
  return key !== null && bare && from.mode === 'blues' ? { ...key, mode: 'blues' } : key;
}

function moveByOctaves(p: Phrase, text: string, hand: HandWay | undefined): Outcome {
  const octaves = readWhole(text);
  if (octaves === null || octaves === 0 || Math.abs(octaves) > 3) {
    return problem(`'${text.trim()}' is no number of octaves`, 'Choose up or down.');
  }
  return outcomeOf(moveOctaves(p, octaves, hand ?? 'shape'));
}

function moveBeat(p: Phrase, text: string): Outcome {
  const m = /^\s*(\d{1,3})\s*:\s*(\d{1,3}(?:\.\d{1,6})?)\s*$/u.exec(text);
  if (m === null) {
    return problem(
      `'${text.trim()}' is no bar and beat`,
      'Choose a bar and write a beat, such as 2.5.',
    );
  }
  const moved = startAt(p, { bar: Number(m[1]), beat: Number(m[2]) });
  return moved.ok
    ? { kind: 'moved', phrase: moved.value, report: null }
    : { kind: 'problems', problems: moved.problems };
}

function problem(message: string, fix: string): Outcome {
  return { kind: 'problems', problems: [{ message, fix }] };
}

function readWhole(text: string): number | null {
  const t = text.trim().replace('−', '-');
  return /^[+-]?\d{1,4}$/u.test(t) ? Number(t) : null;
}
