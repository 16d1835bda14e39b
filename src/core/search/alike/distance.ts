import type { AlikeLine } from './line';

/** What it costs to make one melody of another, in the least dear way; weights are ours. */
const COST = {
  /** A note more or less. */
  note: 0.7,
  /** Another pitch: at least, and for each semitone up to a fourth. */
  pitch: 0.4,
  semitone: 0.06,
  /** Another pitch that has the same role. */
  sameRole: 0.12,
  /** For each doubling or halving of the time to the next note, up to two. */
  time: 0.2,
  /** One note for two of together its length, or the other way round. */
  split: 0.35,
} as const;

/** So far may places of the same note lie apart in two melodies, as notes of the longer one. */
const APART = 6;
/** So far may partners lie apart, beside what the lengths differ by. */
const BAND = 8;
/** What sums of the same costs in another order may differ by. */
const ROUNDING = 1e-9;

/** How unlike another melody is. @param most Gives up above it, for less work: what is told then is more. */
export type UnlikenessOf = (other: AlikeLine, most?: number) => number;

/**
 * How unlike two melodies are, 0 for the same in any key; an alignment of their notes with one note
 * for two (fragmentation and consolidation) after M. Mongeau and D. Sankoff, Comparison of musical
 * sequences, Computers and the Humanities 24 (1990), at the transpositions that most pairs of notes
 * agree on. Divided by the longer one's number of notes, 1 is 'nothing in common'.
 */
export function unlikeness(a: AlikeLine, b: AlikeLine, most?: number): number {
  return unlikenessTo(a)(b, most);
}

/** The same, of one melody and as many others as one likes. */
export function unlikenessTo(line: AlikeLine): UnlikenessOf {
  const a = new Side(line.pitches.length);
  a.take(line);
  const b = new Side(64);
  const votes = new Int32Array(256);
  const table = new Table();
  return (other, most = Number.POSITIVE_INFINITY) => {
    const longer = Math.max(line.pitches.length, other.pitches.length);
    if (longer === 0) return 0;
    // Every note that has no partner costs at least what one for two costs.
    const least = (COST.split * Math.abs(line.pitches.length - other.pitches.length)) / longer;
    if (least > most) return Math.min(1, least);
    b.take(other);
    const [first, second] = shiftsOf(a, b, votes);
    const limit = most * longer;
    let best = table.align(a, b, first, limit + ROUNDING);
    // What is 0 cannot be less.
    if (second !== first && best > 0) {
      best = Math.min(best, table.align(a, b, second, Math.min(best, limit) + ROUNDING));
    }
    return Math.min(1, best / longer);
  };
}

/** A melody as the alignment reads it. */
class Side {
  length = 0;
  pitches = new Int32Array(0);
  degrees = new Int32Array(0);
  /** Logarithm to the base 2 of the time to the next note, of the last one of its own length. */
  paces = new Float64Array(0);
  /** The same of a note and the one before it together. */
  both = new Float64Array(0);

  constructor(room: number) {
    this.makeRoom(room);
  }

  take({ pitches, degrees, onsets }: AlikeLine): void {
    this.length = pitches.length;
    if (this.length > this.pitches.length) this.makeRoom(this.length);
    for (let i = 0; i < this.length; i++) {
      this.pitches[i] = pitches[i]!;
      this.degrees[i] = degrees[i]!;
      this.paces[i] = Math.log2(Math.max(1, onsets[i + 1]! - onsets[i]!));
      this.both[i] = i === 0 ? 0 : Math.log2(Math.max(1, onsets[i + 1]! - onsets[i - 1]!));
    }
  }

  private makeRoom(room: number): void {
    this.pitches = new Int32Array(room);
    this.degrees = new Int32Array(room);
    this.paces = new Float64Array(room);
    this.both = new Float64Array(room);
  }
}

/** The two differences of pitch on which most notes that may belong together agree, and 0; or one, twice. */
function shiftsOf(a: Side, b: Side, votes: Int32Array): readonly [number, number] {
  votes.fill(0);
  const m = b.length;
  for (let i = 0; i < a.length; i++) {
    const end = Math.min(m, i + APART + 1);
    const nought = 128 - a.pitches[i]!;
    for (let j = Math.max(0, i - APART); j < end; j++) {
      // What lies at the same place says more.
      votes[b.pitches[j]! + nought]! += APART + 2 - Math.abs(i - j);
    }
  }
  let [first, second] = [128, 128];
  for (let s = 0; s < 256; s++) {
    if (votes[s]! > votes[first]!) {
      second = first;
      first = s;
    } else if (s !== first && (second === first || votes[s]! > votes[second]!)) second = s;
  }
  return [first - 128, second - 128];
}

/** What another pitch costs, by semitones. */
const PITCH_COSTS = Float64Array.from({ length: 256 }, (_, apart) =>
  apart === 0 ? 0 : COST.pitch + COST.semitone * Math.min(5, apart),
);

function timeCost(x: number, y: number): number {
  const apart = Math.abs(x - y);
  return COST.time * Math.min(apart, 2);
}

/** Three rows of the least cost up to two notes, and of what their pitches cost, kept between alignments. */
class Table {
  private rows = [0, 1, 2].map(() => new Float64Array(0));
  private pitchRows = [0, 1].map(() => new Float64Array(0));

  /** @param most Gives up above it; more than it is told then. */
  align(a: Side, b: Side, shift: number, most: number): number {
    const [n, m] = [a.length, b.length];
    if (this.rows[0]!.length <= m) {
      this.rows = this.rows.map(() => new Float64Array(m + 1));
      this.pitchRows = this.pitchRows.map(() => new Float64Array(m + 1));
    }
    let [before, last, here] = this.rows as [Float64Array, Float64Array, Float64Array];
    let [lastPitch, pitch] = this.pitchRows as [Float64Array, Float64Array];
    const width = BAND + Math.abs(n - m);
    for (let j = 0; j <= m; j++) last[j] = j * COST.note;
    let leastBefore = 0;
    for (let i = 1; i <= n; i++) {
      const from = Math.max(1, i - width);
      const to = Math.min(m, i + width);
      here[from - 1] = from === 1 ? i * COST.note : Number.POSITIVE_INFINITY;
      if (to === i + width) last[to] = Number.POSITIVE_INFINITY;
      const least = fillRow(a, b, i, from, to, shift, { before, last, here, lastPitch, pitch });
      // One note for two passes over a row, so that the row before counts too.
      if (least > most && leastBefore > most) return Math.min(least, leastBefore);
      leastBefore = least;
      [before, last, here] = [last, here, before];
      [lastPitch, pitch] = [pitch, lastPitch];
    }
    return last[m]!;
  }
}

interface Rows {
  readonly before: Float64Array;
  readonly last: Float64Array;
  readonly here: Float64Array;
  /** What the pitches of note `i − 1`, and of note `i`, cost against each note. */
  readonly lastPitch: Float64Array;
  readonly pitch: Float64Array;
}

/** @returns less than any way through this row can cost. */
function fillRow(
  a: Side,
  b: Side,
  i: number,
  from: number,
  to: number,
  shift: number,
  { before, last, here, lastPitch, pitch }: Rows,
): number {
  const rest = a.length - i - b.length;
  const midi = a.pitches[i - 1]! + shift;
  const degree = a.degrees[i - 1]!;
  const pace = a.paces[i - 1]!;
  const both = a.both[i - 1]!;
  let least = here[from - 1]! + COST.split * Math.abs(rest + from - 1);
  let left = here[from - 1]!;
  let pitchLeft = from > 1 ? pitchCost(midi, degree, b, from - 2) : 0;
  for (let j = from; j <= to; j++) {
    const p = pitchCost(midi, degree, b, j - 1);
    pitch[j] = p;
    let cost = Math.min(last[j]!, left) + COST.note;
    const change = last[j - 1]! + p;
    if (change < cost) {
      const whole = change + timeCost(pace, b.paces[j - 1]!);
      if (whole < cost) cost = whole;
    }
    if (j > 1 && last[j - 2]! + COST.split < cost) {
      // One note for two: one of the two is its pitch.
      const other = Math.min(p, pitchLeft);
      const whole =
        last[j - 2]! + COST.split + (other > 0 ? other : timeCost(pace, b.both[j - 1]!));
      if (whole < cost) cost = whole;
    }
    if (i > 1 && before[j - 1]! + COST.split < cost) {
      const other = Math.min(p, lastPitch[j]!);
      const whole =
        before[j - 1]! + COST.split + (other > 0 ? other : timeCost(b.paces[j - 1]!, both));
      if (whole < cost) cost = whole;
    }
    here[j] = cost;
    left = cost;
    pitchLeft = p;
    // Notes that will have no partner cost at least what one for two costs.
    const bound = cost + COST.split * Math.abs(rest + j);
    if (bound < least) least = bound;
  }
  return least;
}

function pitchCost(midi: number, degree: number, b: Side, j: number): number {
  const apart = Math.abs(midi - b.pitches[j]!);
  if (apart === 0) return 0;
  return degree === b.degrees[j] ? COST.sameRole : PITCH_COSTS[apart]!;
}
