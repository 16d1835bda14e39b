import { unlikenessTo } from './distance';
import type { AlikeLine } from './line';
import { LineStore } from './line-store';
import { Lists } from './lists';
import { eachLookedFor, eachTerm, LISTS } from './terms';

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
  private readonly lines = new LineStore();
  private readonly lists = new Lists(LISTS);
  /** All 0 but while candidates are sought. */
  private scores = new Float32Array(0);
  private readonly touched = new Uint32Array(MOST_ENTRIES);
  private readonly reached = new Float32Array(MOST_ENTRIES);
  private size = 0;

  put(number: number, line: AlikeLine): void {
    this.lines.put(number, line);
    this.size++;
    eachTerm(line, (term) => this.lists.push(term, number));
  }

  delete(number: number): void {
    if (!this.lines.has(number)) return;
    this.lines.delete(number);
    this.size--;
  }

  lineOf(number: number): AlikeLine | null {
    return this.lines.get(number);
  }

  /**
   * The melodies most like one, the likest first; of equals the one that came first.
   * @param among Which numbers may be answered.
   */
  find(line: AlikeLine, most: number, among: (number: number) => boolean = () => true): Alike[] {
    const candidates = this.candidates(line, Math.max(COMPARED, 2 * most), among);
    const unlikeness = unlikenessTo(line);
    const found: Alike[] = [];
    let worst = Number.POSITIVE_INFINITY;
    for (const number of candidates) {
      const u = unlikeness(this.lines.get(number)!, worst);
      if (u > worst) continue;
      let at = found.length;
      while (at > 0 && isBefore({ number, unlikeness: u }, found[at - 1]!)) at--;
      found.splice(at, 0, { number, unlikeness: u });
      if (found.length > most) found.pop();
      if (found.length === most) worst = found.at(-1)!.unlikeness;
    }
    return found;
  }

  /** Those that share most with a melody, the first first; all that share anything where there are no more. */
  private candidates(
    line: AlikeLine,
    most: number,
    among: (number: number) => boolean,
  ): readonly number[] {
    const { end } = this.lines;
    if (this.scores.length < end) this.scores = new Float32Array(end + (end >>> 1));
    const { scores, touched, lists } = this;
    const sought = new Set<number>();
    eachLookedFor(line, (term) => {
      if (lists.count(term) > 0) sought.add(term);
    });
    const terms = [...sought].sort((a, b) => lists.count(a) - lists.count(b) || a - b);
    let [left, many] = [MOST_ENTRIES, 0];
    for (const term of terms) {
      if (left === 0) break;
      const count = lists.count(term);
      const weight = Math.log(1 + this.size / count);
      many = lists.score(term, weight, scores, touched, many, left);
      left -= Math.min(left, count);
    }
    return this.bestOf(many, most, among);
  }

  /** The highest scores of those touched, the highest first; no score is left behind. */
  private bestOf(many: number, most: number, among: (number: number) => boolean): number[] {
    const { scores, touched, reached } = this;
    let living = 0;
    for (let k = 0; k < many; k++) {
      const number = touched[k]!;
      const score = scores[number]!;
      scores[number] = 0;
      if (!this.lines.has(number) || !among(number)) continue;
      touched[living] = number;
      reached[living++] = score;
    }
    // Only what has a chance is sorted.
    const bar = threshold(reached.subarray(0, living), most);
    const best: number[] = [];
    for (let k = 0; k < living; k++) if (reached[k]! >= bar) best.push(k);
    best.sort((a, b) => reached[b]! - reached[a]! || touched[a]! - touched[b]!);
    return best.slice(0, most).map((k) => touched[k]!);
  }
}

const STEPS = 256;

/** A score that at least `most` of them reach, where there are so many. */
function threshold(scores: Float32Array, most: number): number {
  if (scores.length <= most) return 0;
  let highest = 0;
  for (const s of scores) if (s > highest) highest = s;
  const steps = new Uint32Array(STEPS + 1);
  const factor = STEPS / highest;
  for (const s of scores) steps[(s * factor) | 0]!++;
  let count = 0;
  for (let s = STEPS; s >= 0; s--) {
    count += steps[s]!;
    // One step lower, since the numbers were rounded.
    if (count >= most) return ((s - 1) / STEPS) * highest;
  }
  return 0;
}

function isBefore(a: Alike, b: Alike): boolean {
  return a.unlikeness < b.unlikeness || (a.unlikeness === b.unlikeness && a.number < b.number);
}
