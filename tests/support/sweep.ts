import { movePhrase } from '../../src/core/move/move';
import {
  type Destination,
  HAND_WAYS,
  type Moved,
  type MoveRequest,
  OCTAVE_CHOICES,
} from '../../src/core/move/request';
import { applyFingering } from '../../src/core/neck/apply';
import { findPositions } from '../../src/core/neck/areas';
import { checkPlayable } from '../../src/core/neck/playable';
import type { Phrase } from '../../src/core/phrase/types';
import type { Result } from '../../src/core/result';
import { type Key, settleKey, twelveKeys } from '../../src/core/theory/key';
import { parseChordOrRoman } from '../../src/core/theory/roman';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { seededPhrase } from './arbitrary';

/** What happened to the phrases of a sweep; every count is reported, none is a verdict by itself. */
export interface SweepCounts {
  phrases: number;
  moved: number;
  /** Refused with a reason: no room on the neck, a way that does not go with the destination. */
  refused: number;
  /** Moved as wished, with no fallback. */
  plain: number;
  /** Reported as still breaking a hard rule. */
  unplayable: number;
  positions: number;
  noPosition: number;
  reasons: Map<string, number>;
}

const SYMBOLS = [
  'I7',
  'IV7',
  'V7',
  'ii m7',
  'vi m7',
  'Cmaj7',
  'F#m7b5',
  'Bbsus4',
  'Ebdim7',
  'Ab6',
  'B7alt',
  'Dm(maj7)',
  'G7b9',
  'Db5',
  'E+',
];
const LANE = ['I7', 'IV7', 'I7', 'V7', 'i m7', 'bVImaj7', 'ii m7b5', 'V7alt'];

function chordOrThrow(text: string, key: Key) {
  const r = parseChordOrRoman(text.replace(' ', ''), key);
  if (!r.ok) throw new Error(`${text}: ${r.problems[0]?.message}`);
  return r.value;
}

/** A request that depends on nothing but the seed. */
export function requestFor(p: Phrase, seed: number): MoveRequest {
  const pick = <T>(list: readonly T[], by: number): T => list[Math.floor(seed / by) % list.length]!;
  const hand = pick(HAND_WAYS, 7);
  const octave = pick(OCTAVE_CHOICES, 3);
  const kind = seed % 9;
  const key = pick(twelveKeys(p.key), 5);
  const lane: Destination = {
    kind: 'lane',
    bars: p.bars.map((_, i) => [chordOrThrow(LANE[(seed + i) % LANE.length]!, p.key)]),
  };
  const chord: Destination = { kind: 'chord', chord: chordOrThrow(pick(SYMBOLS, 11), p.key) };
  switch (kind) {
    case 0:
      return { to: { kind: 'key', key }, hand, octave };
    case 1:
      return { to: { kind: 'key', key }, way: 'chord', hand, octave };
    case 2:
      return {
        to: {
          kind: 'key',
          key: settleKey({ ...key, mode: key.mode === 'minor' ? 'blues' : 'minor' }, p.key),
        },
        way: 'chord',
        hand,
      };
    case 3:
      return { to: chord, hand, octave };
    case 4:
      return { to: chord, way: 'real', hand, octave };
    case 5:
      return { to: lane, hand };
    case 6:
      return { to: lane, way: 'hold', adapt: seed % 2 === 0, hand };
    case 7:
      return { to: { kind: 'steps', steps: (Math.floor(seed / 13) % 13) - 6 }, hand };
    default:
      return { to: lane, way: 'real', octave, hand };
  }
}

/** What is wrong with a moved phrase, in words; empty when it keeps every rule or reports why not. */
export function faultsOf(p: Phrase, moved: Moved): readonly string[] {
  const faults: string[] = [];
  const { phrase, report } = moved;
  for (const problem of checkPhrase(phrase))
    faults.push(`invalid: ${problem.pointer} ${problem.message}`);
  const known = new Set(checkPlayable(p).map((v) => `${v.rule}:${[...v.noteIds].sort()}`));
  const broken = checkPlayable(phrase).filter(
    (v) => !known.has(`${v.rule}:${[...v.noteIds].sort()}`),
  );
  if (broken.length > 0 && report.unplayable.length === 0)
    faults.push(`breaks ${broken[0]!.rule} unreported`);
  const pitched = p.voices.flatMap((v) =>
    v.events.flatMap((e) => e.notes.filter((n) => n.kind === 'pitched')),
  );
  if (report.notes.length !== pitched.length) faults.push('the report does not name every note');
  return faults;
}

/**
 * Runs seeds [from, to) through move and fingering.
 * @throws Error after the first `patience` phrases with a fault, naming their seeds.
 */
export function sweep(
  from: number,
  to: number,
  progress?: (done: number) => void,
  patience = 1,
): SweepCounts {
  const c: SweepCounts = {
    phrases: 0,
    moved: 0,
    refused: 0,
    plain: 0,
    unplayable: 0,
    positions: 0,
    noPosition: 0,
    reasons: new Map(),
  };
  const faults: string[] = [];
  for (let seed = from; seed < to && faults.length < patience; seed++) {
    try {
      one(seed, c);
    } catch (e) {
      faults.push(`seed ${seed}: ${e instanceof Error ? e.message + trace(e) : String(e)}`);
    }
    progress?.(seed - from + 1);
  }
  if (faults.length > 0) throw new Error(faults.join('\n'));
  return c;
}

/** Where a programmer's error came from; a fault found by the sweep speaks for itself. */
function trace(e: Error): string {
  return e.name === 'Error' ? '' : ` ${e.stack?.split('\n')[1]?.trim() ?? ''}`;
}

function one(seed: number, c: SweepCounts): void {
  const p = seededPhrase(seed);
  c.phrases++;
  const request = requestFor(p, seed);
  const result: Result<Moved> =
    seed % 10 === 9
      ? movePhrase(p, { to: { kind: 'octaves', octaves: seed % 20 === 9 ? 1 : -1 } })
      : movePhrase(p, request);
  if (!result.ok) {
    c.refused++;
    const why = result.problems[0]!.message.replace(/ on [\w-]+/u, '');
    c.reasons.set(why, (c.reasons.get(why) ?? 0) + 1);
    return;
  }
  c.moved++;
  const faults = faultsOf(p, result.value);
  if (faults.length > 0) throw new Error(faults.join('; '));
  const { report, phrase } = result.value;
  if (report.unplayable.length > 0) c.unplayable++;
  if (
    report.general.every((a) => !a.fallback) &&
    report.notes.every((n) => n.adaptations.every((a) => !a.fallback))
  )
    c.plain++;
  const best = findPositions(phrase, { count: 1 })[0];
  if (best === undefined) {
    c.noPosition++;
    return;
  }
  c.positions++;
  const broken = checkPlayable(applyFingering(phrase, best));
  if (broken.length > 0)
    throw new Error(`a fingering breaks ${broken[0]!.rule}: ${broken[0]!.message}`);
}
