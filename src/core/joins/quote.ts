import type { Sketch } from './sketch';

/**
 * Length of the longest run of notes in a row that a phrase has in common with an earlier one, pitch by
 * pitch. In proportion to the product of their lengths.
 * @param semitones How far the phrase is moved.
 */
export function longestQuote(earlier: Sketch, phrase: Sketch, semitones: number): number {
  const [a, b] = [earlier.midi, phrase.midi];
  // How long the runs are that end at a note of the one and each note of the other.
  const runs = runsOf(b.length + 1);
  let longest = 0;
  let none = true;
  for (let i = 0; i < a.length; i++) {
    // Most notes of the one are not in the other at all.
    if (phrase.heard[a[i]! - semitones] !== 1) {
      if (!none) runs.fill(0, 0, b.length + 1);
      none = true;
      continue;
    }
    none = false;
    // From the last note to the first, so that what stands before is still of the note before.
    for (let j = b.length; j > 0; j--) {
      const run = b[j - 1]! + semitones === a[i] ? runs[j - 1]! + 1 : 0;
      runs[j] = run;
      if (run > longest) longest = run;
    }
  }
  return longest;
}

/** Lent out for one comparison at a time, of which a chorus makes a hundred thousand. */
let lent = new Int16Array(64);

function runsOf(length: number): Int16Array {
  if (lent.length < length) lent = new Int16Array(2 * length);
  return lent.fill(0, 0, length);
}
