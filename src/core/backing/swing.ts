import { isCompound } from '../phrase/time';
import { type Feel, TICKS_PER_QUARTER, type Ticks } from '../phrase/types';
import type { BackingFeel, BackingForm, BandMoment } from './types';

const SHUFFLE: Feel = { kind: 'swing', unit: 'eighth', first: 2, second: 1 };
const STRAIGHT: Feel = { kind: 'straight' };

/**
 * The swing a band plays with. A phrase that swings has its own ratio, and the band plays with it in the
 * feels that swing. Else a shuffle is 2 : 1, and swing the less uneven the faster it is (Friberg and
 * Sundström 2002 measured ratios falling with tempo, towards even eighths; the steps are ours).
 */
export function swingOfFeel(feel: BackingFeel, form: Pick<BackingForm, 'feel' | 'quarters'>): Feel {
  if (feel !== 'shuffle' && feel !== 'swing') return STRAIGHT;
  if (form.feel.kind === 'swing' && form.feel.unit === 'eighth') return form.feel;
  if (feel === 'shuffle' || form.quarters < 150) return SHUFFLE;
  return form.quarters < 220
    ? { kind: 'swing', unit: 'eighth', first: 3, second: 2 }
    : { kind: 'swing', unit: 'eighth', first: 5, second: 4 };
}

/** Where a written moment of the band sounds: both halves of a pair of eighths stretched evenly. */
export function swungMoments(
  form: BackingForm,
  swing: Feel,
): (tick: Ticks, tuplet?: true) => number {
  if (swing.kind === 'straight') return (tick) => tick;
  const unit = swing.unit === 'eighth' ? TICKS_PER_QUARTER / 2 : TICKS_PER_QUARTER / 4;
  const moved = (2 * unit * swing.first) / (swing.first + swing.second);
  const bars = form.bars;
  let last = 0;
  return (tick, tuplet) => {
    if (tuplet) return tick;
    while (last > 0 && bars[last]!.start > tick) last -= 1;
    while (last < bars.length - 1 && bars[last + 1]!.start <= tick) last += 1;
    const bar = bars[last];
    if (bar === undefined || bar.number === 0 || isCompound(bar.meter) || bar.meter.beatType > 4)
      return tick;
    const pair = bar.start + Math.floor((tick - bar.start) / (2 * unit)) * 2 * unit;
    const within = tick - pair;
    if (within <= unit) return pair + (within * moved) / unit;
    return pair + moved + ((within - unit) * (2 * unit - moved)) / unit;
  };
}

/** The moments of something in seconds. */
export function secondsOf(
  m: Pick<BandMoment, 'at' | 'end' | 'tuplet'>,
  at: (tick: Ticks, tuplet?: true) => number,
  perTick: number,
): { readonly onset: number; readonly length: number } {
  const onset = at(m.at, m.tuplet) * perTick;
  return { onset, length: Math.max(0, at(m.end) * perTick - onset) };
}
