import { isCompound, meterTicks } from '../../../core/phrase/time';
import type { Meter, Ticks, Tuplet } from '../../../core/phrase/types';

/** Onsets guessed from columns, and the triplets they need. */
export interface Spaced {
  /** From the start of the bar, one for each column, ascending and all different. */
  readonly onsets: readonly Ticks[];
  readonly triplets: readonly Tuplet[];
}

/** Columns that are left free before a first note by habit. */
const HABIT = 2;

/**
 * Guesses where notes lie in a bar from where they stand on the line: the width of the bar is its
 * length, and of the usual grids the one is taken that the columns miss least, the coarser of two
 * that do equally well. Ours; there is no way to know.
 * @param columns Ascending, from the bar line.
 * @param width Columns of the whole bar.
 */
export function spaceBar(columns: readonly number[], width: number, meter: Meter): Spaced {
  const first = columns[0];
  if (first === undefined) return { onsets: [], triplets: [] };
  const full = meterTicks(meter);
  const lead = Math.min(first, HABIT);
  const room = Math.max(1, width - lead);
  const wanted = columns.map((c) => ((c - lead) / room) * full);
  let best: { cost: number; step: Ticks; onsets: readonly Ticks[]; triple: boolean } | null = null;
  for (const { step, triple } of gridsOf(meter)) {
    const slots = full / step;
    if (!Number.isInteger(slots) || slots < columns.length) continue;
    const onsets = snap(wanted, step, slots);
    const missed = onsets.reduce((sum, t, i) => sum + Math.abs(t - wanted[i]!), 0) / columns.length;
    // Half a step of error is what chance would give; finer grids have to earn their place.
    const cost = missed / full + slots * 0.0012 + (triple ? 0.004 : 0);
    if (best === null || cost < best.cost - 1e-9) best = { cost, step, onsets, triple };
  }
  if (best === null) {
    // More notes than any usual grid holds: one after the other.
    const step = 315;
    const onsets = columns.map((_, i) => Math.min(full - step, i * step));
    return { onsets: [...new Set(onsets)], triplets: [] };
  }
  return { onsets: best.onsets, triplets: best.triple ? tripletsFor(best.onsets) : [] };
}

function gridsOf(meter: Meter): readonly { readonly step: Ticks; readonly triple: boolean }[] {
  const plain = [20_160, 10_080, 5_040, 2_520, 1_260].map((step) => ({ step, triple: false }));
  // Thirds of a quarter; compound metres have them without triplets.
  return isCompound(meter) || meter.beatType !== 4
    ? plain
    : [...plain, { step: 3_360, triple: true }];
}

/** The nearest free slots, in order. */
function snap(wanted: readonly Ticks[], step: Ticks, slots: number): readonly Ticks[] {
  const taken: number[] = [];
  wanted.forEach((t, i) => {
    const least = i === 0 ? 0 : taken[i - 1]! + 1;
    const most = slots - (wanted.length - i);
    taken.push(Math.max(least, Math.min(most, Math.round(t / step))));
  });
  return taken.map((n) => n * step);
}

/** A triplet on every quarter that has a note on its second or last third. */
function tripletsFor(onsets: readonly Ticks[]): readonly Tuplet[] {
  const beats = new Set(
    onsets.filter((t) => t % 10_080 !== 0).map((t) => Math.floor(t / 10_080) * 10_080),
  );
  return [...beats].map((onset) => ({ onset, duration: 10_080, actual: 3, normal: 2 }));
}
