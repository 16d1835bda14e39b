import type { JoinNote } from '../joins/sketch';

/** From here on a nearer octave was there: where roots move the nearest way is a tritone at most. */
const ANOTHER = 7;

/**
 * How often a line that was moved leaps where it did not: chords that change beneath it put what follows in the octave
 * nearest to them (M7), and where that turns a step into a seventh the figure is not known again.
 * @param was The line as it was written, note by note the same.
 */
export function tornAt(was: readonly JoinNote[], now: readonly JoinNote[]): number {
  let torn = 0;
  for (let i = 1; i < now.length; i++) {
    const before = was[i]!.midi - was[i - 1]!.midi;
    const after = now[i]!.midi - now[i - 1]!.midi;
    if (Math.abs(after - before) >= ANOTHER) torn++;
  }
  return torn;
}

/** The same in words, as part of a sentence. */
export const TORN_WORDS = 'leaps where its own line does not';
