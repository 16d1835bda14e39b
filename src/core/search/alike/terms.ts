import type { AlikeLine } from './line';

/** Terms are hashed into so many lists. */
export const LISTS = 1 << 20;

/** Which streams a term belongs to; each outlives another kind of change. */
const STREAM = { pairs: 1, steps: 2, roles: 3, pitches: 4, rhythm: 5, turn: 6 } as const;

/**
 * What a melody shares with those that are like it, none of it changed by transposition: two steps
 * with their rhythm, the roles of three notes, three steps without rhythm, four times without
 * pitch, and one step in its rhythm. Each once, as the number of a list.
 */
export function termsOf(line: AlikeLine): Set<number> {
  const terms = new Set<number>();
  const n = line.pitches.length;
  for (let i = 0; i + 1 < n; i++) {
    // Of so short a line every pair counts.
    if (n <= 4) terms.add(hash(STREAM.pairs, rise(line, i, i + 1), time(line, i, i + 1)));
    if (i + 2 >= n) continue;
    addSteps(terms, line, i, i + 1, i + 2);
    const { degrees: d } = line;
    terms.add(hash(STREAM.roles, d[i]!, d[i + 1]!, d[i + 2]!));
    if (i + 3 >= n) continue;
    addPitches(terms, line, i, i + 1, i + 2, i + 3);
    addTurn(terms, line, i, i + 1, i + 2, i + 3);
    if (i + 4 >= n) continue;
    const times = [1, 2, 3, 4].map((k) => time(line, i + k - 1, i + k));
    terms.add(hash(STREAM.rhythm, ...times));
  }
  return terms;
}

/** The terms under which a melody is looked for: one note more than the original has may be passed over. */
export function lookedFor(line: AlikeLine): Set<number> {
  const terms = termsOf(line);
  const n = line.pitches.length;
  for (let i = 0; i + 3 < n; i++) {
    addSteps(terms, line, i, i + 1, i + 3);
    addSteps(terms, line, i, i + 2, i + 3);
    if (i + 4 >= n) continue;
    addPitches(terms, line, i, i + 1, i + 2, i + 4);
    addPitches(terms, line, i, i + 1, i + 3, i + 4);
    addPitches(terms, line, i, i + 2, i + 3, i + 4);
    addTurn(terms, line, i, i + 1, i + 2, i + 4);
    addTurn(terms, line, i, i + 1, i + 3, i + 4);
    addTurn(terms, line, i, i + 2, i + 3, i + 4);
  }
  return terms;
}

function addSteps(to: Set<number>, l: AlikeLine, a: number, b: number, c: number): void {
  to.add(hash(STREAM.steps, rise(l, a, b), time(l, a, b), rise(l, b, c), time(l, b, c)));
}

function addPitches(
  to: Set<number>,
  l: AlikeLine,
  a: number,
  b: number,
  c: number,
  d: number,
): void {
  to.add(hash(STREAM.pitches, rise(l, a, b), rise(l, b, c), rise(l, c, d)));
}

/** The step between the middle two of four times. */
function addTurn(to: Set<number>, l: AlikeLine, a: number, b: number, c: number, d: number): void {
  to.add(hash(STREAM.turn, rise(l, b, c), time(l, a, b), time(l, b, c), time(l, c, d)));
}

function rise(l: AlikeLine, from: number, to: number): number {
  return l.pitches[to]! - l.pitches[from]!;
}

function time(l: AlikeLine, from: number, to: number): number {
  return l.onsets[to]! - l.onsets[from]!;
}

function hash(stream: number, ...parts: readonly number[]): number {
  let h = stream;
  for (const x of parts) {
    h = Math.imul(h ^ x, 0x85eb_ca6b);
    h ^= h >>> 13;
    h = Math.imul(h, 0xc2b2_ae35);
    h ^= h >>> 16;
  }
  return (h >>> 0) % LISTS;
}
