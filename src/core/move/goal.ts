import { readInstrument } from '../phrase/instruments';
import { readBeat } from '../phrase/read-beat';
import type { Position } from '../phrase/time';
import type { Meter } from '../phrase/types';
import { fail, ok, type Problem, type Result } from '../result';
import { shortened } from '../shortened';
import { noteTechniques, techniqueOf } from '../technique/table';
import { type Key, parseKey } from '../theory/key';
import { keySign } from '../theory/key-sign';
import { parseChordOrRoman } from '../theory/roman';
import { parseLane } from './lane';
import { isMinor } from './modes';
import {
  type Destination,
  HAND_WAYS,
  type HandWay,
  MOST_OCTAVES,
  MOST_STEPS,
  type MoveRequest,
  OCTAVE_CHOICES,
  type OctaveChoice,
  type Way,
  type Without,
} from './request';

/** Where a phrase may go, as a person says it. */
export const GOAL_KINDS = [
  'chord',
  'key',
  'lane',
  'steps',
  'octaves',
  'instrument',
  'beat',
] as const;
export type GoalKind = (typeof GOAL_KINDS)[number];

/** What was typed or tapped; it need not make sense yet. */
export interface Goal {
  readonly kind: GoalKind;
  /** A chord or numeral, a key, a lane, a number of steps or octaves, an instrument or tuning, or `2:1.5` for bar and beat. */
  readonly text: string;
}

/** The metre of a bar, 0 for the pickup; null where the phrase is not known or has no such bar. */
type MeterOf = (bar: number) => Meter | null;

/**
 * The one door from text to a destination: whoever takes a move from a person reads it here.
 * Numerals are read in the key (D6), and a tonic without a mode keeps a blues a blues, whose
 * signature is the major one.
 * @returns The destination, or what is musically wrong with the text; a place in the text is named
 *   by bar and column.
 */
export function readGoal(goal: Goal, key: Key, meterOf: MeterOf = () => null): Result<Destination> {
  const text = goal.text.trim();
  switch (goal.kind) {
    case 'chord': {
      const chord = parseChordOrRoman(text, key);
      return chord.ok ? ok({ kind: 'chord', chord: chord.value }) : chord;
    }
    case 'lane': {
      const bars = parseLane(text, key);
      return bars.ok ? ok({ kind: 'lane', bars: bars.value }) : bars;
    }
    case 'key': {
      const found = readKey(text, key);
      if (found !== null) return ok({ kind: 'key', key: found });
      return fail({
        message: `'${shortened(text)}' is no key`,
        fix: 'Write a tonic and a mode, for example Bb, F#m or G blues.',
      });
    }
    case 'steps': {
      const steps = readWhole(text, MOST_STEPS);
      if (steps !== null) return ok({ kind: 'steps', steps });
      return fail({
        message: `'${shortened(text)}' is no number of scale steps`,
        fix: `Write a whole number from −${MOST_STEPS} to ${MOST_STEPS}; 2 is up a third.`,
      });
    }
    case 'octaves': {
      const octaves = readWhole(text, MOST_OCTAVES);
      if (octaves !== null && octaves !== 0) return ok({ kind: 'octaves', octaves });
      return fail({
        message: `'${shortened(text)}' is no number of octaves`,
        fix: `Write a whole number from −${MOST_OCTAVES} to ${MOST_OCTAVES}, and not 0.`,
      });
    }
    case 'instrument': {
      const wish = readInstrument(text);
      return wish.ok ? ok({ kind: 'instrument', wish: wish.value }) : wish;
    }
    case 'beat': {
      const at = readPosition(text, meterOf);
      if (at !== null) return ok({ kind: 'beat', at });
      return fail({
        message: `'${shortened(text)}' is no bar and beat`,
        fix: 'Write a bar and a beat, such as 2:1, 1:2.5 or 1:2 and; bar 0 is the pickup.',
      });
    }
  }
}

/**
 * Signs to be left out (M7): note and technique divided by a colon, several by commas, as reports
 * name them: `n3:vibrato`.
 */
export function readWithout(text: string): Result<readonly Without[]> {
  const found: Without[] = [];
  for (const part of text.split(',')) {
    const [, id, name] = /^\s*(.+):([a-z-]+)\s*$/u.exec(part) ?? [];
    const technique = noteTechniques((t) => t.id === name)[0];
    if (id === undefined || technique === undefined) {
      return fail({
        message: `'${shortened(part.trim())}' names no sign of a note`,
        fix: 'Write note and technique as the report does, for example n3:vibrato.',
      });
    }
    found.push({ id, technique });
  }
  return ok(found);
}

/** The inverse of `readWithout` for one sign. */
export function formatWithout({ id, technique }: Without): string {
  return `${id}:${techniqueOf(technique).id}`;
}

/** A key by name, seen from the key of a phrase. */
export function readKey(text: string, from: Key): Key | null {
  const key = parseKey(text);
  const bare = !/[\sm]/u.test(text.trim());
  return key !== null && bare && from.mode === 'blues' ? { ...key, mode: 'blues' } : key;
}

function readWhole(text: string, most: number): number | null {
  const t = text.replace('−', '-');
  if (!/^[+-]?\d{1,4}$/u.test(t)) return null;
  const n = Number(t);
  return Math.abs(n) <= most ? n : null;
}

function readPosition(text: string, meterOf: MeterOf): Position | null {
  const m = /^(\d{1,3})\s*:(.{1,40})$/u.exec(text);
  const beat = m === null ? null : readBeat(m[2]!, meterOf(Number(m[1])));
  return beat === null ? null : { bar: Number(m![1]), beat };
}

/** The choices that mean something for a destination; a list with fewer than two entries is none. */
export interface Choices {
  /** The usual one first. */
  readonly ways: readonly Way[];
  readonly octaves: readonly OctaveChoice[];
  readonly hands: readonly HandWay[];
}

/**
 * Which choices go with a destination (M1, M2): only *real* keeps intervals, and never to the other
 * mode; *hold* and steps choose no octave; another beat moves no finger.
 * @param way The way in use.
 */
export function choicesFor(to: Destination, way: Way, key: Key): Choices {
  return {
    ways: waysFor(to, key),
    octaves: hasOctave(to, way) ? OCTAVE_CHOICES : [],
    hands: to.kind === 'beat' ? [] : HAND_WAYS,
  };
}

function hasOctave(to: Destination, way: Way): boolean {
  return (to.kind === 'key' || isChords(to)) && (way === 'real' || way === 'chord');
}

function isChords(to: Destination): boolean {
  return to.kind === 'chord' || to.kind === 'lane';
}

/** The ways that go with a destination, the usual one first (M1, M2). */
export function waysFor(to: Destination, key: Key): readonly Way[] {
  switch (to.kind) {
    case 'chord':
    case 'lane':
      return ['chord', 'real', 'hold'];
    case 'key':
      return isMinor(to.key) === isMinor(key) ? ['real', 'chord', 'hold'] : ['chord', 'hold'];
    case 'steps':
      return ['tonal'];
    case 'octaves':
    case 'instrument':
      return ['real'];
    case 'beat':
      return ['hold'];
  }
}

/** M1, M2: the way that is meant when none is named; to a key of the other mode it has to be named. */
export function defaultWay(to: Destination): Way {
  switch (to.kind) {
    case 'key':
    case 'octaves':
    case 'instrument':
      return 'real';
    case 'chord':
    case 'lane':
      return 'chord';
    case 'steps':
      return 'tonal';
    case 'beat':
      return 'hold';
  }
}

/** What makes no sense in a request, whatever the phrase but for its key; null where it does. */
export function wayProblem(request: MoveRequest, key: Key): Problem | null {
  const { to, way } = request;
  if (way === undefined || waysFor(to, key).includes(way)) return adaptProblem(request);
  if (way === 'tonal') {
    return {
      message: 'the way tonal moves by scale steps and goes with no other destination',
      fix: 'Give a number of scale steps, for example 2 for up a third, or choose real, chord or hold.',
    };
  }
  if (to.kind === 'steps') {
    return {
      message: `scale steps cannot be combined with the way ${way}`,
      fix: 'Choose the way tonal.',
    };
  }
  if (to.kind === 'key') {
    return {
      message: `a real transposition cannot lead from ${keySign(key)} to ${keySign(to.key)}, a key of the other mode`,
      fix: 'Choose the way chord, which keeps the roles, or hold, which keeps the pitches.',
    };
  }
  const kinds = { octaves: 'a move by octaves', instrument: 'another instrument' } as const;
  const what = to.kind === 'octaves' || to.kind === 'instrument' ? kinds[to.kind] : 'another beat';
  return { message: `${what} knows no other way`, fix: 'Leave the way out.' };
}

function adaptProblem({ to, way, adapt }: MoveRequest): Problem | null {
  if (adapt !== true || (way === 'hold' && to.kind !== 'beat')) return null;
  return {
    message: 'suggestions are made, and can be applied, with the way hold only',
    fix: 'Choose the way hold.',
  };
}
