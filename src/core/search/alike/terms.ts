import type { AlikeLine } from './line';

/** Terms are hashed into so many lists. */
export const LISTS = 1 << 20;

/** Which streams a term belongs to; each outlives another kind of change. */
const STREAM = { pairs: 1, steps: 2, roles: 3, pitches: 4, rhythm: 5, turn: 6 } as const;

/** Takes the number of a list. */
type Take = (term: number) => void;

/**
 * What a melody shares with those that are like it, none of it changed by transposition: two steps
 * with their rhythm, the roles of three notes, three steps without rhythm, four times without
 * pitch, and one step in its rhythm. Each as the number of a list, some more than once.
 */
export function eachTerm(line: AlikeLine, take: Take): void {
  const { degrees: d, pitches } = line;
  const n = pitches.length;
  for (let i = 0; i + 1 < n; i++) {
    // Of so short a line every pair counts.
    if (n <= 4) take(list(mix(mix(STREAM.pairs, rise(line, i, i + 1)), time(line, i, i + 1))));
    if (i + 2 >= n) continue;
    take(steps(line, i, i + 1, i + 2));
    take(list(mix(mix(mix(STREAM.roles, d[i]!), d[i + 1]!), d[i + 2]!)));
    if (i + 3 >= n) continue;
    take(rises(line, i, i + 1, i + 2, i + 3));
    take(turn(line, i, i + 1, i + 2, i + 3));
    if (i + 4 >= n) continue;
    let times = mix(STREAM.rhythm, time(line, i, i + 1));
    for (let k = 1; k < 4; k++) times = mix(times, time(line, i + k, i + k + 1));
    take(list(times));
  }
}

/** The terms under which a melody is looked for: one note more than the original has may be passed over. */
export function eachLookedFor(line: AlikeLine, take: Take): void {
  eachTerm(line, take);
  const n = line.pitches.length;
  for (let i = 0; i + 3 < n; i++) {
    take(steps(line, i, i + 1, i + 3));
    take(steps(line, i, i + 2, i + 3));
    if (i + 4 >= n) continue;
    take(rises(line, i, i + 1, i + 2, i + 4));
    take(rises(line, i, i + 1, i + 3, i + 4));
    take(rises(line, i, i + 2, i + 3, i + 4));
    take(turn(line, i, i + 1, i + 2, i + 4));
    take(turn(line, i, i + 1, i + 3, i + 4));
    take(turn(line, i, i + 2, i + 3, i + 4));
  }
}

/** Two steps with the times they take. */
function steps(l: AlikeLine, a: number, b: number, c: number): number {
  const first = mix(mix(STREAM.steps, rise(l, a, b)), time(l, a, b));
  return list(mix(mix(first, rise(l, b, c)), time(l, b, c)));
}

function rises(l: AlikeLine, a: number, b: number, c: number, d: number): number {
  return list(mix(mix(mix(STREAM.pitches, rise(l, a, b)), rise(l, b, c)), rise(l, c, d)));
}

/** The step between the middle two of four times. */
function turn(l: AlikeLine, a: number, b: number, c: number, d: number): number {
  const step = mix(mix(STREAM.turn, rise(l, b, c)), time(l, a, b));
  return list(mix(mix(step, time(l, b, c)), time(l, c, d)));
}

function rise(l: AlikeLine, from: number, to: number): number {
  return l.pitches[to]! - l.pitches[from]!;
}

function time(l: AlikeLine, from: number, to: number): number {
  return l.onsets[to]! - l.onsets[from]!;
}

/** One number more in a hash. */
function mix(hash: number, x: number): number {
  let h = Math.imul(hash ^ x, 0x85eb_ca6b);
  h ^= h >>> 13;
  h = Math.imul(h, 0xc2b2_ae35);
  return h ^ (h >>> 16);
}

function list(hash: number): number {
  return (hash >>> 0) % LISTS;
}
