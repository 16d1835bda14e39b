import { barSpans, beatTicks, meterTicks } from '../../../src/core/phrase/time';
import { canFill } from '../../../src/core/phrase/tuplet';
import { isUsual } from '../../../src/core/phrase/tuplet-ratio';
import { TUPLET_RATIOS } from '../../../src/core/phrase/tuplet-ratios';
import type { Ticks, Tuplet } from '../../../src/core/phrase/types';
import type { Dice } from './dice';
import type { Frame } from './frame';

/** A stretch of time that becomes a note or stays a rest. */
export interface Slot {
  readonly onset: Ticks;
  readonly duration: Ticks;
}

export interface Rhythm {
  readonly slots: readonly Slot[];
  readonly tuplets: readonly Tuplet[];
}

export interface RhythmOptions {
  readonly tuplets: boolean;
  /** Down to 128ths and dotted 64ths. */
  readonly fine: boolean;
  /** How likely a beat stays one note; a second voice moves slowly. */
  readonly calm: number;
}

/** Fills the phrase bar by bar and beat by beat; some slots are tied together and some left out. */
export function makeRhythm(d: Dice, f: Frame, o: RhythmOptions): Rhythm {
  const cells: Slot[] = [];
  const tuplets: Tuplet[] = [];
  for (const span of barSpans(f)) {
    const beat = beatTicks(span.bar.meter);
    const from = span.number === 0 ? span.end - meterTicks(span.bar.meter) : span.start;
    for (let at = from; at < span.end; at += beat) {
      const start = Math.max(at, span.start);
      const end = Math.min(at + beat, span.end);
      if (end > start) cut(d, start, end - start, o, cells, tuplets);
    }
  }
  return { slots: joinSome(d, cells, o.calm), tuplets };
}

const QUARTER_CUTS = [
  [1],
  [1 / 2, 1 / 2],
  [1 / 2, 1 / 4, 1 / 4],
  [1 / 4, 1 / 4, 1 / 2],
  [1 / 4, 1 / 2, 1 / 4],
  [1 / 4, 1 / 4, 1 / 4, 1 / 4],
  [3 / 4, 1 / 4],
  [1 / 4, 3 / 4],
  [1 / 8, 1 / 8, 1 / 4, 1 / 2],
];
const QUARTER_WEIGHTS = [3, 6, 2, 2, 1, 3, 2, 1, 0.5];
const DOTTED_CUTS = [
  [1],
  [1 / 3, 1 / 3, 1 / 3],
  [2 / 3, 1 / 3],
  [1 / 3, 2 / 3],
  [1 / 2, 1 / 6, 1 / 3],
];
const DOTTED_WEIGHTS = [2, 5, 3, 1, 1];

function cut(
  d: Dice,
  onset: Ticks,
  length: Ticks,
  o: RhythmOptions,
  cells: Slot[],
  tuplets: Tuplet[],
): void {
  if (d.chance(o.calm)) {
    cells.push({ onset, duration: length });
    return;
  }
  if (o.tuplets && d.chance(0.16)) {
    const t = makeTuplet(d, onset, length);
    if (t !== null) {
      tuplets.push(t);
      cells.push(...tupletCells(d, t));
      return;
    }
  }
  if (o.fine && d.chance(0.04) && length > 630) {
    const at = 315 * d.int(1, length / 315 - 1);
    cells.push({ onset, duration: at }, { onset: onset + at, duration: length - at });
    return;
  }
  const shape =
    length === 10_080
      ? QUARTER_CUTS[d.weighted(QUARTER_WEIGHTS)]!
      : length % 1_890 === 0 && length % 10_080 !== 0
        ? DOTTED_CUTS[d.weighted(DOTTED_WEIGHTS)]!
        : length % 1_260 === 0 && d.chance(0.5)
          ? [1 / 2, 1 / 2]
          : [1];
  let at = onset;
  for (const part of shape) {
    const duration = Math.round(part * length);
    cells.push({ onset: at, duration });
    at += duration;
  }
}

/** A tuplet that fills `length`, seven times of eight the commonest of those that can. */
function makeTuplet(d: Dice, onset: Ticks, length: Ticks): Tuplet | null {
  const fitting = TUPLET_RATIOS.filter((r) => canFill(r, length));
  if (fitting.length === 0) return null;
  const ratio = d.chance(1 / 8) ? d.pick(fitting) : (fitting.find(isUsual) ?? fitting[0]!);
  return { onset, duration: length, ...ratio };
}

function tupletCells(d: Dice, t: Tuplet): Slot[] {
  const unit = t.duration / t.actual;
  const cells: Slot[] = [];
  let at = 0;
  while (at < t.actual) {
    const size = d.chance(0.2) ? Math.min(2, t.actual - at) : 1;
    cells.push({ onset: t.onset + at * unit, duration: size * unit });
    at += size;
  }
  return cells;
}

function joinSome(d: Dice, cells: readonly Slot[], calm: number): Slot[] {
  const slots: Slot[] = [];
  for (const c of cells) {
    const last = slots.at(-1);
    const join = d.chance(0.1 + calm / 2);
    const rest = d.chance(0.14);
    if (join && last !== undefined && last.onset + last.duration === c.onset) {
      slots[slots.length - 1] = { onset: last.onset, duration: last.duration + c.duration };
    } else if (!rest) {
      slots.push(c);
    }
  }
  return slots;
}
