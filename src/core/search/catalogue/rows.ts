import type { LineTest } from './lines';
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
  const turns = steps.some((s) => s.turn !== null);
  const row = steps.length > MOST_QUICK_STEPS ? longRow : turns ? turningRow : levelRow;
  return row(pool, steps, tonic, owners);
}

/** The steps of a row as the bits of a number, the first the lowest. */
interface Masks {
  readonly last: number;
  /** The steps that a degree may be; one more row for notes without. */
  readonly stepsOf: Int32Array;
  readonly gaps: number;
  readonly asking: number;
  readonly ups: number;
  readonly downs: number;
}

function masksOf(steps: readonly ReadyStep[]): Masks {
  const last = 1 << (steps.length - 1);
  const stepsOf = new Int32Array(NO_DEGREE + 1);
  let [gaps, asking, ups, downs] = [0, 0, 0, 0];
  for (const [s, step] of steps.entries()) {
    if (step.gap) gaps |= 1 << s;
    if (step.techniques !== 0) asking |= 1 << s;
    if (step.turn === 'up') ups |= 1 << s;
    if (step.turn === 'down') downs |= 1 << s;
    for (let d = 0; d <= NO_DEGREE; d++) {
      if (step.degree < 0 || step.degree === d) stepsOf[d]! |= 1 << s;
    }
  }
  return { last, stepsOf, gaps, asking, ups, downs };
}

/** A row without turns: the steps that can end on an event are the bits of a number. */
function levelRow(
  pool: NotePool,
  steps: readonly ReadyStep[],
  tonic: boolean,
  owners: Uint8Array | null,
): LineTest {
  const { last, stepsOf, gaps, asking } = masksOf(steps);
  return (first, end) => {
    const marks = pool.mark.values;
    const midis = pool.midi.values;
    const starts = (tonic ? pool.keyStart : pool.start).values;
    const heards = (tonic ? pool.keyHeard : pool.heard).values;
    // The steps that may come next, those that can end on one before in this voice, and on this one.
    let [next, ever, here] = [1, 0, 0];
    let pitched = false;
    for (let i = first; i < end; i++) {
      const mark = marks[i]!;
      if ((mark & MARK.event) !== 0) {
        if (pitched) {
          ever |= here;
          next = 1 | ((here << 1) & ~gaps) | ((ever << 1) & gaps);
          pitched = false;
        }
        here = 0;
        if ((mark & MARK.voice) !== 0) [next, ever] = [1, 0];
      }
      if (midis[i] === 0) continue;
      pitched = true;
      let may = (stepsOf[starts[i]!]! | stepsOf[heards[i]!]!) & next;
      if (may === 0 || (owners !== null && owners[pool.owner.values[i]!] !== 1)) continue;
      if ((may & asking) !== 0) {
        may = withTechniques(may, may & asking, steps, pool.techniques.values[i]!);
      }
      if ((may & last) !== 0) return true;
      here |= may;
    }
    return false;
  };
}

/**
 * A row with turns. A turn only compares with the lowest or highest note
 * on which the step before it can end, so that these two are kept of steps that a turn follows. Where the event before
 * is one note, that note is both, whatever the step; most events are.
 */
function turningRow(
  pool: NotePool,
  steps: readonly ReadyStep[],
  tonic: boolean,
  owners: Uint8Array | null,
): LineTest {
  const { last, stepsOf, gaps, asking, ups, downs } = masksOf(steps);
  const turning = ups | downs;
  // Turns from the event before, and from any before; the steps that these follow.
  const near = turning & ~gaps;
  const far = turning & gaps;
  const nearUps = ups & ~gaps;
  const nearDowns = downs & ~gaps;
  const followed = turning >>> 1;
  const farFollowed = far >>> 1;
  const heights = new Heights(steps.length, gaps, ups);
  return (first, end) => {
    const marks = pool.mark.values;
    const midis = pool.midi.values;
    const starts = (tonic ? pool.keyStart : pool.start).values;
    const heards = (tonic ? pool.keyHeard : pool.heard).values;
    // The steps that can end on the event before, on one before in this voice, and on this one.
    let [before, ever, here] = [0, 0, 0];
    // The note of the event before where it is one, and whether this event is one; 0 for several.
    let [lone, single, pitched] = [0, false, 0];
    for (let i = first; i < end; i++) {
      if ((marks[i]! & MARK.event) !== 0) {
        if (pitched !== 0) {
          if (single) {
            lone = pitched;
            if ((here & farFollowed) !== 0) heights.passed(here & farFollowed, ever, lone);
          } else {
            lone = 0;
            if ((here & followed) !== 0) heights.pass(here & followed, ever);
          }
          before = here;
          ever |= here;
          pitched = 0;
        }
        here = 0;
        single = i + 1 === end || (marks[i + 1]! & MARK.event) !== 0;
        if ((marks[i]! & MARK.voice) !== 0) [before, ever] = [0, 0];
      }
      const midi = midis[i]!;
      if (midi === 0) continue;
      pitched = midi;
      let may = stepsOf[starts[i]!]! | stepsOf[heards[i]!]!;
      may &= 1 | ((before << 1) & ~gaps) | ((ever << 1) & gaps);
      if (may === 0 || (owners !== null && owners[pool.owner.values[i]!] !== 1)) continue;
      if ((may & asking) !== 0) {
        may = withTechniques(may, may & asking, steps, pool.techniques.values[i]!);
      }
      if ((may & near) !== 0) {
        if (lone === 0) may = heights.turned(may, may & near, midi);
        else may &= ~(lone < midi ? nearDowns : lone > midi ? nearUps : near);
      }
      if ((may & far) !== 0) may = heights.turned(may, may & far, midi);
      if ((may & last) !== 0) return true;
      if (!single && (may & followed) !== 0) heights.end(may & followed, here, midi);
      here |= may;
    }
    return false;
  };
}

/** The lowest and highest notes on which steps can end: on this event, on the one before, on any before. */
class Heights {
  private readonly here: [low: Uint8Array, high: Uint8Array];
  private readonly before: [low: Uint8Array, high: Uint8Array];
  private readonly ever: [low: Uint8Array, high: Uint8Array];

  /** @param gaps The steps before which any number of notes may lie. @param ups Those that must be higher. */
  constructor(
    count: number,
    private readonly gaps: number,
    private readonly ups: number,
  ) {
    const both = (): [Uint8Array, Uint8Array] => [new Uint8Array(count), new Uint8Array(count)];
    [this.here, this.before, this.ever] = [both(), both(), both()];
  }

  /** Of steps that may end on a note those that turn as they should. @param asked Those that must turn. */
  turned(may: number, asked: number, midi: number): number {
    let kept = may;
    for (let left = asked; left !== 0; left &= left - 1) {
      const s = 31 - Math.clz32(left & -left);
      const [low, high] = ((this.gaps >>> s) & 1) === 1 ? this.ever : this.before;
      const turns = ((this.ups >>> s) & 1) === 1 ? low[s - 1]! < midi : high[s - 1]! > midi;
      if (!turns) kept &= ~(1 << s);
    }
    return kept;
  }

  /** An event of one note is over. @param ever The steps that ended on one before it. */
  passed(steps: number, ever: number, midi: number): void {
    widen(this.ever, steps, ever, midi, midi);
  }

  /** Steps end on a note of this event. @param ended Those that end on one of its notes already. */
  end(steps: number, ended: number, midi: number): void {
    widen(this.here, steps, ended, midi, midi);
  }

  /** The event is over. @param ever The steps that ended on one before it. */
  pass(steps: number, ever: number): void {
    const [low, high] = this.here;
    for (let left = steps; left !== 0; left &= left - 1) {
      const bit = left & -left;
      const s = 31 - Math.clz32(bit);
      widen(this.before, bit, 0, low[s]!, high[s]!);
      widen(this.ever, bit, ever, low[s]!, high[s]!);
    }
  }
}

/** @param known The steps of which there is a lowest and a highest already. */
function widen(
  [lows, highs]: readonly [Uint8Array, Uint8Array],
  steps: number,
  known: number,
  low: number,
  high: number,
): void {
  for (let left = steps; left !== 0; left &= left - 1) {
    const s = 31 - Math.clz32(left & -left);
    const fresh = ((known >>> s) & 1) === 0;
    if (fresh || low < lows[s]!) lows[s] = low;
    if (fresh || high > highs[s]!) highs[s] = high;
  }
}

/** Of steps that may end on a note those of which the note has what they ask for. */
function withTechniques(
  may: number,
  asked: number,
  steps: readonly ReadyStep[],
  techniques: number,
): number {
  let kept = may;
  for (let left = asked; left !== 0; left &= left - 1) {
    const s = 31 - Math.clz32(left & -left);
    const wanted = steps[s]!.techniques | 0;
    if ((techniques & wanted) !== wanted) kept &= ~(1 << s);
  }
  return kept;
}

/** A row of any length, step by step. */
function longRow(
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
