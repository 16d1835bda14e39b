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

/**
 * How unlike two melodies are, 0 for the same in any key; an alignment of their notes with one note
 * for two (fragmentation and consolidation) after M. Mongeau and D. Sankoff, Comparison of musical
 * sequences, Computers and the Humanities 24 (1990), at the transpositions that most pairs of notes
 * agree on. Divided by the longer one's number of notes, 1 is 'nothing in common'.
 * @param most Gives up above it, for less work.
 */
export function unlikeness(a: AlikeLine, b: AlikeLine, most = Number.POSITIVE_INFINITY): number {
  const longer = Math.max(a.pitches.length, b.pitches.length);
  if (longer === 0) return 0;
  // Every note that has no partner costs at least what one for two costs.
  const least = (COST.split * Math.abs(a.pitches.length - b.pitches.length)) / longer;
  if (least > most) return Math.min(1, least);
  let best = Number.POSITIVE_INFINITY;
  for (const shift of shiftsOf(a, b)) {
    best = Math.min(best, align(a, b, shift, Math.min(best, most * longer)));
  }
  return Math.min(1, best / longer);
}

/** So far may places of the same note lie apart in two melodies, as notes of the longer one. */
const APART = 6;

/** The two differences of pitch on which most notes that may belong together agree, and 0. */
function shiftsOf(a: AlikeLine, b: AlikeLine): readonly number[] {
  const votes = new Int32Array(256);
  const m = b.pitches.length;
  for (const [i, p] of a.pitches.entries()) {
    const end = Math.min(m, i + APART + 1);
    for (let j = Math.max(0, i - APART); j < end; j++) {
      // What lies at the same place says more.
      votes[b.pitches[j]! - p + 128]! += APART + 2 - Math.abs(i - j);
    }
  }
  let [first, second] = [128, 128];
  for (let s = 0; s < 256; s++) {
    if (votes[s]! > votes[first]!) [first, second] = [s, first];
    else if (s !== first && (second === first || votes[s]! > votes[second]!)) second = s;
  }
  return first === second ? [first - 128] : [first - 128, second - 128];
}

/** So far may partners lie apart, beside what the lengths differ by. */
const BAND = 8;

let rows: [Float64Array, Float64Array, Float64Array] = [0, 1, 2].map(
  () => new Float64Array(0),
) as never;

function align(a: AlikeLine, b: AlikeLine, shift: number, most: number): number {
  const [n, m] = [a.pitches.length, b.pitches.length];
  if (rows[0].length <= m) {
    rows = [new Float64Array(m + 1), new Float64Array(m + 1), new Float64Array(m + 1)];
  }
  let [before, last, here] = rows;
  const width = BAND + Math.abs(n - m);
  for (let j = 0; j <= m; j++) last[j] = j * COST.note;
  for (let i = 1; i <= n; i++) {
    let least = i * COST.note;
    const from = Math.max(1, i - width);
    const to = Math.min(m, i + width);
    here[from - 1] = from === 1 ? least : Number.POSITIVE_INFINITY;
    if (to === i + width) last[to] = Number.POSITIVE_INFINITY;
    for (let j = from; j <= to; j++) {
      let cost = Math.min(last[j]!, here[j - 1]!) + COST.note;
      // What is dear to reckon is only reckoned where it can be the least.
      if (last[j - 1]! < cost) {
        cost = Math.min(cost, last[j - 1]! + changed(a, i - 1, b, j - 1, shift));
      }
      if (j > 1 && last[j - 2]! + COST.split < cost) {
        cost = Math.min(cost, last[j - 2]! + split(a, i - 1, b, j - 1, shift));
      }
      if (i > 1 && before[j - 1]! + COST.split < cost) {
        cost = Math.min(cost, before[j - 1]! + split(b, j - 1, a, i - 1, -shift));
      }
      here[j] = cost;
      if (cost < least) least = cost;
    }
    // One note for two passes over a row, so that the row before counts too.
    if (least > most && i > 1 && least - COST.note > most) return least;
    [before, last, here] = [last, here, before];
  }
  return last[m]!;
}

function changed(a: AlikeLine, i: number, b: AlikeLine, j: number, shift: number): number {
  return pitchCost(a, i, b, j, shift) + timeCost(a.paces[i]!, b.paces[j]!);
}

function pitchCost(a: AlikeLine, i: number, b: AlikeLine, j: number, shift: number): number {
  const apart = Math.abs(a.pitches[i]! + shift - b.pitches[j]!);
  if (apart === 0) return 0;
  if (a.degrees[i] === b.degrees[j]) return COST.sameRole;
  return COST.pitch + COST.semitone * Math.min(5, apart);
}

/** @param x and y as `paces`. */
function timeCost(x: number, y: number): number {
  return x === y ? 0 : COST.time * Math.min(2, Math.abs(x - y));
}

/** Note `i` of one melody for the notes `j − 1` and `j` of the other: one of the two is its pitch. */
function split(a: AlikeLine, i: number, b: AlikeLine, j: number, shift: number): number {
  const pitch = Math.min(pitchCost(a, i, b, j - 1, shift), pitchCost(a, i, b, j, shift));
  if (pitch > 0) return COST.split + pitch;
  const both = b.onsets[j]! - b.onsets[j - 1]! + 2 ** b.paces[j]!;
  return COST.split + timeCost(a.paces[i]!, Math.log2(both));
}
