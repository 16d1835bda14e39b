import { bytes, longs } from '../catalogue/column';
import type { AlikeLine } from './line';

/** Melodies one after the other in columns: seven or so bytes a note. Numbers are given by the caller, ascending. */
export class LineStore {
  private readonly pitches = bytes();
  private readonly degrees = bytes();
  /** One more a melody than there are notes. */
  private readonly onsets = longs();
  /** Of each number the place of its first note, and behind them all the end. */
  private readonly firsts = longs();
  private readonly here = bytes();

  constructor() {
    this.firsts.push(0);
  }

  /** More than any number given so far. */
  get end(): number {
    return this.here.length;
  }

  has(number: number): boolean {
    return number < this.here.length && this.here.values[number] === 1;
  }

  put(number: number, line: AlikeLine): void {
    while (this.here.length < number) this.close(0);
    const n = line.pitches.length;
    for (let i = 0; i < n; i++) {
      this.pitches.push(line.pitches[i]!);
      this.degrees.push(line.degrees[i]!);
    }
    for (let i = 0; i <= n; i++) this.onsets.push(line.onsets[i]!);
    this.close(1);
  }

  /** Its notes stay; `Finder` gives them up with the numbers. */
  delete(number: number): void {
    this.here.values[number] = 0;
  }

  get(number: number): AlikeLine | null {
    if (!this.has(number)) return null;
    const [from, to] = [this.firsts.values[number]!, this.firsts.values[number + 1]!];
    return {
      pitches: this.pitches.values.subarray(from, to),
      degrees: this.degrees.values.subarray(from, to),
      onsets: this.onsets.values.subarray(from + number, to + number + 1),
    };
  }

  /** What holds no melody has one onset all the same, so that places are reckoned alike. */
  private close(here: 0 | 1): void {
    if (here === 0) this.onsets.push(0);
    this.firsts.push(this.pitches.length);
    this.here.push(here);
  }
}
