import { isCompound } from '../phrase/time';
import type { Meter, Phrase, Tempo, Ticks } from '../phrase/types';
import { TICKS_PER_QUARTER } from '../phrase/types';

/** Ticks of what a tempo counts. */
export const TEMPO_TICKS: Readonly<Record<Tempo['unit'], Ticks>> = {
  eighth: TICKS_PER_QUARTER / 2,
  quarter: TICKS_PER_QUARTER,
  'dotted-quarter': (TICKS_PER_QUARTER * 3) / 2,
  half: TICKS_PER_QUARTER * 2,
};

/** What the tempo counts, as it is spoken of. */
export const TEMPO_UNIT_NAMES: Readonly<Record<Tempo['unit'], string>> = {
  eighth: 'eighths',
  quarter: 'quarters',
  'dotted-quarter': 'dotted quarters',
  half: 'half notes',
};

/**
 * The tempo of a phrase that is counted otherwise from its first bar on: 6, 9 and 12 eighths count
 * dotted quarters (T2), and the other way round quarters again. A unit that somebody chose against
 * the metre stays. Where there are notes they sound as fast as before, to the nearest whole beat a
 * minute; on an empty page the number stays, which nobody has heard yet.
 */
export function tempoFor(p: Phrase, old: Meter, meter: Meter): Tempo {
  const { bpm, unit } = p.tempo;
  const beat = (m: Meter): Tempo['unit'] => (isCompound(m) ? 'dotted-quarter' : 'quarter');
  const next = beat(meter);
  if (unit !== beat(old) || unit === next) return p.tempo;
  const silent = p.voices.every((v) => v.events.length === 0);
  const same = Math.round((bpm * TEMPO_TICKS[unit]) / TEMPO_TICKS[next]);
  return { bpm: silent ? bpm : Math.max(SLOWEST, Math.min(same, FASTEST)), unit: next };
}

/** Beats a minute that can be set or typed: as many as the stored form takes. */
export const SLOWEST = 10;
export const FASTEST = 500;
