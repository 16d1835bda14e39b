import { longs } from '../catalogue/column';
import { unlikeness } from './distance';
import type { AlikeLine } from './line';
import { LISTS, lookedFor, termsOf } from './terms';

/** A phrase that is like another. */
export interface Alike {
  readonly number: number;
  /** 0 for the same in any key, up to 1. */
  readonly unlikeness: number;
}

/** So many of those that share most terms are compared note by note. */
const COMPARED = 90;
/** So many entries of lists are looked at, the shortest lists first: the longest tell next to nothing. */
const MOST_ENTRIES = 25_000;

/**
 * Finds melodies like another in any key: lists of terms say which share most, rare terms counting
 * more, and these are compared exactly. Numbers are those of a `Catalogue`.
 */
export class AlikeIndex {
  private readonly lines: (AlikeLine | null)[] = [];
  /** Lists in one column, each from its last entry back: place + 1 of the entry before, or 0. */
  private readonly heads = new Uint32Array(LISTS);
  private readonly counts = new Uint32Array(LISTS);
  private readonly before = longs();
  private readonly numbers = longs();
  private scores = new Float32Array(0);
  private size = 0;

  put(number: number, line: AlikeLine): void {
    while (this.lines.length < number) this.lines.push(null);
    this.lines[number] = line;
    this.size++;
    for (const term of termsOf(line)) {
      this.before.push(this.heads[term]!);
      this.numbers.push(number);
      this.heads[term] = this.before.length;
      this.counts[term]!++;
    }
  }

  delete(number: number): void {
    if (this.lines[number] != null) this.size--;
    this.lines[number] = null;
  }

  lineOf(number: number): AlikeLine | null {
    return this.lines[number] ?? null;
  }

  /**
   * The melodies most like one, the likest first; of equals the one that came first.
   * @param among Which numbers may be answered.
   */
  find(line: AlikeLine, most: number, among: (number: number) => boolean = () => true): Alike[] {
    const candidates = this.candidates(line, Math.max(COMPARED, 2 * most), among);
    const found: Alike[] = [];
    let worst = Number.POSITIVE_INFINITY;
    for (const number of candidates) {
      const u = unlikeness(line, this.lines[number]!, worst);
      if (u > worst) continue;
      let at = found.length;
      while (at > 0 && isBefore({ number, unlikeness: u }, found[at - 1]!)) at--;
      found.splice(at, 0, { number, unlikeness: u });
      if (found.length > most) found.pop();
      if (found.length === most) worst = found.at(-1)!.unlikeness;
    }
    return found;
  }

  private candidates(
    line: AlikeLine,
    most: number,
    among: (number: number) => boolean,
  ): readonly number[] {
    if (this.scores.length < this.lines.length) {
      this.scores = new Float32Array(this.lines.length + (this.lines.length >>> 1));
    }
    const { scores, before, numbers } = this;
    const touched: number[] = [];
    const terms = [...lookedFor(line)].filter((t) => this.counts[t]! > 0);
    terms.sort((a, b) => this.counts[a]! - this.counts[b]! || a - b);
    let left = MOST_ENTRIES;
    for (const term of terms) {
      const weight = Math.log(1 + this.size / this.counts[term]!);
      for (let at = this.heads[term]!; at !== 0 && left > 0; at = before.values[at - 1]!, left--) {
        const number = numbers.values[at - 1]!;
        if (scores[number] === 0) touched.push(number);
        scores[number]! += weight;
      }
    }
    const living = touched.filter((n) => this.lines[n] !== null && among(n));
    // Only what has a chance is sorted.
    const bar = threshold(living, scores, most);
    const best = living
      .filter((n) => scores[n]! >= bar)
      .sort((a, b) => scores[b]! - scores[a]! || a - b)
      .slice(0, most);
    for (const n of touched) scores[n] = 0;
    return best;
  }
}

/** A score that at least `most` of the numbers reach, where there are so many. */
function threshold(numbers: readonly number[], scores: Float32Array, most: number): number {
  if (numbers.length <= most) return 0;
  const steps = new Uint32Array(256);
  let highest = 0;
  for (const n of numbers) highest = Math.max(highest, scores[n]!);
  const step = (n: number) => Math.min(255, Math.floor((scores[n]! / highest) * 255));
  for (const n of numbers) steps[step(n)]!++;
  let count = 0;
  for (let s = 255; s >= 0; s--) {
    count += steps[s]!;
    // One step lower, since the numbers were rounded.
    if (count >= most) return ((s - 1) / 255) * highest;
  }
  return 0;
}

function isBefore(a: Alike, b: Alike): boolean {
  return a.unlikeness < b.unlikeness || (a.unlikeness === b.unlikeness && a.number < b.number);
}
