import type { AlikeLine } from '../../src/core/search/alike/line';

/**
 * How unlike two melodies are, reckoned by the definition alone, without any short cut: the least sum
 * of costs over the alignments of their notes that keep within the band, at either of the two
 * transpositions on which most pairs of near notes agree. The oracle of `alike/distance.ts`.
 */
export function bruteUnlikeness(a: AlikeLine, b: AlikeLine): number {
  const longer = Math.max(a.pitches.length, b.pitches.length);
  if (longer === 0) return 0;
  return Math.min(1, Math.min(...shifts(a, b).map((s) => align(a, b, s))) / longer);
}

function shifts(a: AlikeLine, b: AlikeLine): readonly number[] {
  const votes = new Map<number, number>();
  for (let i = 0; i < a.pitches.length; i++) {
    for (let j = 0; j < b.pitches.length; j++) {
      const apart = Math.abs(i - j);
      if (apart > 6) continue;
      const shift = b.pitches[j]! - a.pitches[i]!;
      votes.set(shift, (votes.get(shift) ?? 0) + 8 - apart);
    }
  }
  // Most votes first; of equals the lower, but no transposition before all else, and untried ones after it.
  const all = [...votes].sort(([s, x], [t, y]) => y - x || rank(s, s === 0) - rank(t, t === 0));
  const [first = [0, 0], second] = all;
  return second === undefined ? [first[0]] : [first[0], second[0]];
}

function rank(shift: number, nought: boolean): number {
  return nought ? Number.NEGATIVE_INFINITY : shift;
}

function align(a: AlikeLine, b: AlikeLine, shift: number): number {
  const [n, m] = [a.pitches.length, b.pitches.length];
  const width = 8 + Math.abs(n - m);
  const cost = Array.from({ length: n + 1 }, () => new Array<number>(m + 1).fill(Infinity));
  for (let i = 0; i <= n; i++) {
    for (let j = 0; j <= m; j++) {
      if (Math.abs(i - j) > width && i > 0) continue;
      const ways = i === 0 && j === 0 ? [0] : [];
      if (i > 0) ways.push(cost[i - 1]![j]! + 0.7);
      if (j > 0) ways.push(cost[i]![j - 1]! + 0.7);
      if (i > 0 && j > 0) {
        const times = time(pace(a, i - 1, i), pace(b, j - 1, j));
        ways.push(cost[i - 1]![j - 1]! + pitch(a, i, b, j, shift) + times);
      }
      if (i > 0 && j > 1) {
        const p = Math.min(pitch(a, i, b, j - 1, shift), pitch(a, i, b, j, shift));
        const times = time(pace(a, i - 1, i), pace(b, j - 2, j));
        ways.push(cost[i - 1]![j - 2]! + 0.35 + (p > 0 ? p : times));
      }
      if (i > 1 && j > 0) {
        const p = Math.min(pitch(a, i - 1, b, j, shift), pitch(a, i, b, j, shift));
        const times = time(pace(b, j - 1, j), pace(a, i - 2, i));
        ways.push(cost[i - 2]![j - 1]! + 0.35 + (p > 0 ? p : times));
      }
      cost[i]![j] = Math.min(...ways);
    }
  }
  return cost[n]![m]!;
}

/** Notes are counted from 1. */
function pitch(a: AlikeLine, i: number, b: AlikeLine, j: number, shift: number): number {
  const apart = Math.abs(a.pitches[i - 1]! + shift - b.pitches[j - 1]!);
  if (apart === 0) return 0;
  return a.degrees[i - 1] === b.degrees[j - 1] ? 0.12 : 0.4 + 0.06 * Math.min(5, apart);
}

/** Doublings from the onset of one note to that of another, or the end. */
function pace({ onsets }: AlikeLine, from: number, to: number): number {
  return Math.log2(Math.max(1, onsets[to]! - onsets[from]!));
}

function time(x: number, y: number): number {
  return 0.2 * Math.min(2, Math.abs(x - y));
}
