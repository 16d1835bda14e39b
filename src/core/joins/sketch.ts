import { TICKS_PER_QUARTER, type Ticks } from '../phrase/types';

/** A note as joins are judged: when, how long, how high. Several that are struck together count as their highest. */
export interface JoinNote {
  readonly onset: Ticks;
  readonly duration: Ticks;
  /** MIDI number of what is heard first. */
  readonly midi: number;
}

/**
 * What a join looks at in one phrase, computed once. Moving the phrase by semitones changes nothing
 * but the pitches, which the join shifts itself.
 */
export interface Sketch {
  readonly midi: Int16Array;
  /** Semitones from each note to the next. */
  readonly intervals: Int16Array;
  /** Direction and size of each interval: 0, ±1 step, ±2 up to a fifth, ±3 beyond. */
  readonly steps: Int8Array;
  /** Note value from each onset to the next: 0 a 16th, 1 an eighth, 2 a quarter, 3 longer. */
  readonly values: Int8Array;
  /** Share of each note value. */
  readonly pace: Float64Array;
  /** Share of each pitch class, C first. */
  readonly tones: Float64Array;
  /** The pitch classes that sound, a bit each, C the lowest. */
  readonly toneBits: number;
  /** Three notes in a row, their steps and note values as one number. */
  readonly figures: Int32Array;
  readonly hasFigure: ReadonlySet<number>;
  /** Four notes in a row, their intervals as one number. */
  readonly cells: Int32Array;
  readonly hasCell: ReadonlySet<number>;
  /** 1 for every MIDI number that sounds. */
  readonly heard: Uint8Array;
  readonly lowest: number;
  readonly highest: number;
  /** Mean MIDI number of the first eight notes, and of the last eight. */
  readonly head: number;
  readonly tail: number;
  /** Quarters from the first onset to the end, the last note counted with two quarters at most. */
  readonly span: number;
  /** Notes a quarter. */
  readonly density: number;
}

/** A byte for each interval: MIDI numbers lie no more than 127 apart. */
const CELL_BASE = 256;

/** Upper limits of the note values in quarters: swung and triplet eighths are eighths. */
const VALUE_LIMITS = [0.29, 0.76, 1.3];

/**
 * @param notes At least one, ascending by onset.
 */
export function sketchOf(notes: readonly JoinNote[]): Sketch {
  const n = notes.length;
  const midi = Int16Array.from(notes, (x) => x.midi);
  const intervals = new Int16Array(Math.max(0, n - 1));
  const steps = new Int8Array(intervals.length);
  const values = new Int8Array(intervals.length);
  const pace = new Float64Array(4);
  const tones = new Float64Array(12);
  const heard = new Uint8Array(128);
  let toneBits = 0;
  for (let i = 0; i < n; i++) {
    const pitch = midi[i]!;
    tones[pitch % 12]! += 1 / n;
    toneBits |= 1 << (pitch % 12);
    heard[pitch] = 1;
    if (i === n - 1) break;
    intervals[i] = midi[i + 1]! - pitch;
    steps[i] = stepClass(intervals[i]!);
    values[i] = valueClass((notes[i + 1]!.onset - notes[i]!.onset) / TICKS_PER_QUARTER);
    pace[values[i]!]! += 1 / (n - 1);
  }
  const figures = Int32Array.from({ length: Math.max(0, n - 2) }, (_, i) => {
    const turn = (steps[i]! + 3) * 7 + steps[i + 1]! + 3;
    return turn * 16 + values[i]! * 4 + values[i + 1]!;
  });
  const cells = Int32Array.from(
    { length: Math.max(0, n - 3) },
    (_, i) => (intervals[i]! * CELL_BASE + intervals[i + 1]!) * CELL_BASE + intervals[i + 2]!,
  );
  const last = notes[n - 1]!;
  const ticks = last.onset - notes[0]!.onset + Math.min(last.duration, 2 * TICKS_PER_QUARTER);
  const span = Math.max(ticks, 1) / TICKS_PER_QUARTER;
  return {
    midi,
    intervals,
    steps,
    values,
    pace,
    tones,
    toneBits,
    figures,
    hasFigure: new Set(figures),
    cells,
    hasCell: new Set(cells),
    heard,
    lowest: Math.min(...midi),
    highest: Math.max(...midi),
    head: mean(midi.subarray(0, 8)),
    tail: mean(midi.subarray(Math.max(0, n - 8))),
    span,
    density: n / span,
  };
}

function stepClass(semitones: number): number {
  const size = Math.abs(semitones);
  return Math.sign(semitones) * (size === 0 ? 0 : size < 3 ? 1 : size < 8 ? 2 : 3);
}

function valueClass(quarters: number): number {
  const found = VALUE_LIMITS.findIndex((limit) => quarters < limit);
  return found < 0 ? VALUE_LIMITS.length : found;
}

const mean = (a: Int16Array) => a.reduce((x, y) => x + y, 0) / a.length;
