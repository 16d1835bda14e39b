import { MARK, type NotePool } from './pool';
import { NO_DEGREE } from './sheet';

/** A step of a row, ready to be compared. */
export interface ReadyStep {
  /** −1: any note. */
  readonly degree: number;
  readonly turn: 'up' | 'down' | null;
  readonly gap: boolean;
  readonly techniques: number;
}

/** A test of the notes of one phrase in the pool, from the first up to the end. */
export type LineTest = (first: number, end: number) => boolean;

/** Steps that fit into the bits of one number. */
const MOST_QUICK_STEPS = 31;

/**
 * The test whether a row runs through the notes of a phrase.
 * @param owners For each chord number whether the notes may belong to it; null for any.
 */
export function rowTest(
  pool: NotePool,
  steps: readonly ReadyStep[],
  tonic: boolean,
  owners: Uint8Array | null,
): LineTest {
  const quick = steps.length <= MOST_QUICK_STEPS && steps.every((s) => s.turn === null);
  return (quick ? quickRow : turningRow)(pool, steps, tonic, owners);
}

/** Rows without turns: the steps that can end on an event are the bits of a number. */
function quickRow(
  pool: NotePool,
  steps: readonly ReadyStep[],
  tonic: boolean,
  owners: Uint8Array | null,
): LineTest {
  const last = 1 << (steps.length - 1);
  // The steps that a degree may be; one more row for notes without.
  const stepsOf = new Int32Array(NO_DEGREE + 1);
  let [gaps, asking] = [0, 0];
  for (const [s, step] of steps.entries()) {
    if (step.gap) gaps |= 1 << s;
    if (step.techniques !== 0) asking |= 1 << s;
    for (let d = 0; d <= NO_DEGREE; d++) {
      if (step.degree < 0 || step.degree === d) stepsOf[d]! |= 1 << s;
    }
  }
  return (first, end) => {
    const marks = pool.mark.values;
    const midis = pool.midi.values;
    const starts = (tonic ? pool.keyStart : pool.start).values;
    const heards = (tonic ? pool.keyHeard : pool.heard).values;
    let [before, ever, here] = [0, 0, 0];
    let pitched = false;
    for (let i = first; i <= end; i++) {
      const mark = i === end ? MARK.event : marks[i]!;
      if (i > first && (mark & MARK.event) !== 0 && pitched) {
        before = here & (1 | ((before << 1) & ~gaps) | ((ever << 1) & gaps));
        if ((before & last) !== 0) return true;
        ever |= before;
      }
      if (i === end) break;
      if ((mark & MARK.event) !== 0) {
        here = 0;
        pitched = false;
        if ((mark & MARK.voice) !== 0) [before, ever] = [0, 0];
      }
      if (midis[i] === 0) continue;
      pitched = true;
      let may = stepsOf[starts[i]!]! | stepsOf[heards[i]!]!;
      if (may === 0 || (owners !== null && owners[pool.owner.values[i]!] !== 1)) continue;
      if ((may & asking) !== 0) may = withTechniques(may, steps, pool.techniques.values[i]!);
      here |= may;
    }
    return false;
  };
}

function withTechniques(may: number, steps: readonly ReadyStep[], techniques: number): number {
  let kept = may;
  for (const [s, step] of steps.entries()) {
    if ((techniques & step.techniques) !== (step.techniques | 0)) kept &= ~(1 << s);
  }
  return kept;
}

/**
 * Any row: for each step the lowest and highest note on which it can end, since a turn only compares
 * with that.
 */
function turningRow(
  pool: NotePool,
  steps: readonly ReadyStep[],
  tonic: boolean,
  owners: Uint8Array | null,
): LineTest {
  const count = steps.length;
  // On the event before, and anywhere before; 255 and 0 where the step does not end.
  let low = new Uint8Array(count);
  let high = new Uint8Array(count);
  let nextLow = new Uint8Array(count);
  let nextHigh = new Uint8Array(count);
  const everLow = new Uint8Array(count);
  const everHigh = new Uint8Array(count);
  const forget = () => {
    low.fill(255);
    high.fill(0);
    everLow.fill(255);
    everHigh.fill(0);
  };
  return (first, end) => {
    const marks = pool.mark.values;
    const midis = pool.midi.values;
    const starts = (tonic ? pool.keyStart : pool.start).values;
    const heards = (tonic ? pool.keyHeard : pool.heard).values;
    for (let from = first, to: number; from < end; from = to) {
      to = from + 1;
      while (to < end && (marks[to]! & MARK.event) === 0) to++;
      if ((marks[from]! & MARK.voice) !== 0) forget();
      nextLow.fill(255);
      nextHigh.fill(0);
      let pitched = false;
      for (let i = from; i < to; i++) {
        const midi = midis[i]!;
        if (midi === 0) continue;
        pitched = true;
        if (owners !== null && owners[pool.owner.values[i]!] !== 1) continue;
        for (let s = 0; s < count; s++) {
          const step = steps[s]!;
          if (step.degree >= 0 && starts[i] !== step.degree && heards[i] !== step.degree) continue;
          const bits = step.techniques;
          if (bits !== 0 && (pool.techniques.values[i]! & bits) >>> 0 !== bits) continue;
          if (s > 0) {
            const lowest = (step.gap ? everLow : low)[s - 1]!;
            const highest = (step.gap ? everHigh : high)[s - 1]!;
            if (highest === 0) continue;
            if (step.turn === 'up' && lowest >= midi) continue;
            if (step.turn === 'down' && highest <= midi) continue;
          }
          if (s === count - 1) return true;
          if (midi < nextLow[s]!) nextLow[s] = midi;
          if (midi > nextHigh[s]!) nextHigh[s] = midi;
        }
      }
      if (!pitched) continue;
      [low, nextLow] = [nextLow, low];
      [high, nextHigh] = [nextHigh, high];
      for (let s = 0; s < count; s++) {
        if (low[s]! < everLow[s]!) everLow[s] = low[s]!;
        if (high[s]! > everHigh[s]!) everHigh[s] = high[s]!;
      }
    }
    return false;
  };
}

/** Filled and read by one call at a time; never shrinks. */
const scratch: number[] = [];

/**
 * The test whether so many rises of the highest heard pitch follow each other.
 * @param holds Of a rise in semitones and its place in what is looked for.
 */
export function risesTest(
  pool: NotePool,
  count: number,
  holds: (rise: number, place: number) => boolean,
): LineTest {
  return (first, end) => {
    const marks = pool.mark.values;
    const midis = pool.midi.values;
    let n = 0;
    for (let i = first; i < end; i++) {
      const mark = marks[i]!;
      if ((mark & MARK.voice) !== 0) n = 0;
      if ((mark & MARK.top) === 0) continue;
      scratch[n++] = midis[i]!;
      const at = n - 1 - count;
      if (at < 0) continue;
      let place = 0;
      while (place < count && holds(scratch[at + place + 1]! - scratch[at + place]!, place)) {
        place++;
      }
      if (place === count) return true;
    }
    return false;
  };
}

/**
 * The test whether lengths follow each other in a voice.
 * @param wanted In ticks, silences negative; the last is a note's.
 */
export function rhythmTest(pool: NotePool, wanted: readonly number[]): LineTest {
  return (first, end) => {
    const marks = pool.mark.values;
    let n = 0;
    for (let i = first; i < end; i++) {
      const mark = marks[i]!;
      if ((mark & MARK.event) === 0) continue;
      if ((mark & MARK.voice) !== 0) n = 0;
      const rest = pool.rest.values[i]!;
      if (rest > 0) scratch[n++] = -rest;
      scratch[n++] = pool.duration.values[i]!;
      const at = n - wanted.length;
      if (at < 0) continue;
      let place = 0;
      while (place < wanted.length && scratch[at + place] === wanted[place]) place++;
      if (place === wanted.length) return true;
    }
    return false;
  };
}
