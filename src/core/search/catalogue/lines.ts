import { MARK, type NotePool } from './pool';

/** A test of the notes of one phrase in the pool, from the first up to the end. */
export type LineTest = (first: number, end: number) => boolean;

/** Filled and read by one call at a time; never shrinks. */
const scratch: number[] = [];

/**
 * The test whether rises of the highest heard pitch follow each other.
 * @param wanted In semitones, or where only turns count −1, 0 or 1.
 */
export function risesTest(pool: NotePool, wanted: readonly number[], onlyTurns: boolean): LineTest {
  const last = wanted.length - 1;
  return (first, end) => {
    const marks = pool.mark.values;
    const midis = pool.midi.values;
    let [n, before] = [0, 0];
    for (let i = first; i < end; i++) {
      const mark = marks[i]!;
      if ((mark & MARK.voice) !== 0) before = 0;
      if ((mark & MARK.top) === 0) continue;
      const midi = midis[i]!;
      if (before === 0) n = 0;
      else {
        const rise = onlyTurns ? Math.sign(midi - before) : midi - before;
        scratch[n++] = rise;
        if (rise === wanted[last] && n > last && endsWith(wanted, n)) return true;
      }
      before = midi;
    }
    return false;
  };
}

/** Whether the last of so many numbers in `scratch` are these. */
function endsWith(wanted: readonly number[], n: number): boolean {
  const at = n - wanted.length;
  for (let i = wanted.length - 1; i >= 0; i--) if (scratch[at + i] !== wanted[i]) return false;
  return true;
}

/**
 * The test whether lengths follow each other in a voice.
 * @param wanted In ticks, silences negative; the last is a note's.
 */
export function rhythmTest(pool: NotePool, wanted: readonly number[]): LineTest {
  const last = wanted.length - 1;
  return (first, end) => {
    const marks = pool.mark.values;
    const durations = pool.duration.values;
    const rests = pool.rest.values;
    let n = 0;
    for (let i = first; i < end; i++) {
      const mark = marks[i]!;
      if ((mark & MARK.event) === 0) continue;
      if ((mark & MARK.voice) !== 0) n = 0;
      const rest = rests[i]!;
      if (rest > 0) scratch[n++] = -rest;
      const length = durations[i]!;
      scratch[n++] = length;
      if (length === wanted[last] && n > last && endsWith(wanted, n)) return true;
    }
    return false;
  };
}
