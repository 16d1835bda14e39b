import { Bits } from './bits';
import type { Column } from './column';

/** What a catalogue has of the chords of its phrases. */
interface ChordColumns {
  /** More than the number of any phrase. */
  readonly end: number;
  readonly chords: { readonly count: number };
  readonly chordNumbers: Column<Uint32Array>;
  readonly firstChord: Column<Uint32Array>;
}

/** So many phrases may have come since the lists were made; they are asked one by one. */
const MOST_NEW = 4096;

/**
 * Which phrases have a chord: a list for each chord number, one after the other in one array. Made
 * when it is first asked for, from the columns, and again when many phrases have come since.
 */
export class ChordHolders {
  /** Where the list of each number begins; one more for the end of the last. */
  private starts = new Uint32Array(1);
  private phrases = new Uint32Array(0);
  /** The phrases below it are in the lists. */
  private end = 0;

  /**
   * The phrases of which the lane has a chord that fits; those that are gone too.
   * @param fits For each chord number 1 where it fits.
   * @param size More than the number of any phrase.
   */
  with(fits: Uint8Array, c: ChordColumns, size: number): Bits {
    if (c.end - this.end > MOST_NEW || (this.end === 0 && c.end > 0)) this.make(c);
    const found = Bits.none(size);
    const { starts, phrases } = this;
    const { words } = found;
    const last = Math.min(fits.length, starts.length - 1);
    for (let chord = 0; chord < last; chord++) {
      if (fits[chord] !== 1) continue;
      const end = starts[chord + 1]!;
      for (let i = starts[chord]!; i < end; i++) {
        const n = phrases[i]!;
        words[n >>> 5]! |= 1 << (n & 31);
      }
    }
    for (let n = this.end; n < c.end; n++) {
      const end = c.firstChord.values[n + 1]!;
      for (let i = c.firstChord.values[n]!; i < end; i++) {
        if (fits[c.chordNumbers.values[i]!] === 1) found.add(n);
      }
    }
    return found;
  }

  private make(c: ChordColumns): void {
    const numbers = c.chordNumbers.values.subarray(0, c.chordNumbers.length);
    const starts = new Uint32Array(c.chords.count + 2);
    for (const chord of numbers) starts[chord + 1]!++;
    for (let i = 1; i < starts.length; i++) starts[i]! += starts[i - 1]!;
    const next = starts.slice();
    const phrases = new Uint32Array(numbers.length);
    for (let n = 0; n < c.end; n++) {
      const end = c.firstChord.values[n + 1]!;
      for (let i = c.firstChord.values[n]!; i < end; i++) phrases[next[numbers[i]!]!++] = n;
    }
    this.starts = starts;
    this.phrases = phrases;
    this.end = c.end;
  }
}
