import { type Feel, TICKS_PER_QUARTER } from '../../core/phrase/types';

/** So many late notes there must be, fewer where none is even, and so large a share of all second notes. */
const LEAST = 3;
const LEAST_ALONE = 2;
const SHARE = 0.6;

/** Ratios that are looked for where nothing is exact, first : second. */
const USUAL: readonly (readonly [number, number])[] = [
  [2, 1],
  [3, 2],
  [5, 3],
  [5, 4],
];

/** Swung pairs that were found. */
export interface FoundSwing {
  readonly feel: Extract<Feel, { kind: 'swing' }>;
  /** Ticks of a pair. */
  readonly pair: number;
  /** Where the second of a pair lies in it, 0 to 1. */
  readonly late: number;
}

/** Eighths or 16ths that swing; null where neither does. */
export function findSwing(onsets: readonly number[], exact: number): FoundSwing | null {
  return findPairs(onsets, exact, 'eighth') ?? findPairs(onsets, exact, '16th');
}

/**
 * Whether the second notes of pairs come late, all at the same place: then they swing (T3). A pair with
 * an onset in its first half besides the first is none: a triplet, finer notes.
 * @param onsets In ticks, ascending.
 * @param exact How near onsets of one ratio lie together, in ticks.
 */
function findPairs(
  onsets: readonly number[],
  exact: number,
  unit: FoundSwing['feel']['unit'],
): FoundSwing | null {
  const pair = unit === 'eighth' ? TICKS_PER_QUARTER : TICKS_PER_QUARTER / 2;
  const beats = new Map<number, number[]>();
  for (const at of onsets) {
    const beat = Math.floor((at + exact) / pair);
    const place = at / pair - beat;
    beats.set(beat, [...(beats.get(beat) ?? []), place]);
  }
  const late: number[] = [];
  let even = 0;
  let early = 0;
  for (const places of beats.values()) {
    const inside = [...new Set(places.filter((x) => x > 0.04 && x < 0.96))];
    const [only] = inside;
    if (inside.length === 1 && only !== undefined && only < 0.45) early += 1;
    if (inside.length !== 1 || only === undefined || only < 0.45 || only > 0.8) continue;
    if (only < 0.53) even += 1;
    else late.push(only);
  }
  if (
    late.length < (even === 0 ? LEAST_ALONE : LEAST) ||
    late.length < SHARE * (late.length + even)
  )
    return null;
  // Triplets of the longer value have as many notes at the first third of a pair as at the second.
  if (unit === '16th' && early > late.length / 3) return null;
  const sorted = [...late].sort((a, b) => a - b);
  const middle = sorted[Math.floor(sorted.length / 2)]!;
  const spread = Math.max(exact / pair, 0.002);
  const together = late.filter((x) => Math.abs(x - middle) <= spread).length;
  const exactRatio = together >= 0.9 * late.length ? ratioOf(middle, spread) : null;
  const near = late.filter((x) => Math.abs(x - middle) < 0.07).length;
  if (exactRatio === null && near < 0.75 * late.length) return null;
  // Three to one lies on the grid: a dotted rhythm, as it is.
  if (exactRatio !== null && exactRatio[0] === 3 * exactRatio[1]) return null;
  const [first, second] = exactRatio ?? nearestUsual(middle);
  return {
    feel: { kind: 'swing', unit, first, second },
    pair,
    late: exactRatio === null ? middle : first / (first + second),
  };
}

/** Whole numbers up to 12 whose ratio lies there. */
function ratioOf(late: number, spread: number): readonly [number, number] | null {
  for (let sum = 3; sum <= 24; sum++) {
    const first = Math.round(late * sum);
    if (Math.abs(first / sum - late) <= spread && first > sum - first) return [first, sum - first];
  }
  return null;
}

function nearestUsual(late: number): readonly [number, number] {
  const away = ([a, b]: readonly [number, number]) => Math.abs(a / (a + b) - late);
  return USUAL.reduce((best, r) => (away(r) < away(best) ? r : best));
}

/** Where a moment was written before it was swung: what lies at the late place is the second of a pair. */
export function evened(at: number, swing: FoundSwing, exact: number): number {
  const { pair, late } = swing;
  const begin = Math.floor((at + exact) / pair) * pair;
  const away = Math.abs(at - begin - late * pair);
  return away <= Math.max(exact, 0.002 * pair) ? begin + pair / 2 : at;
}
