import { isCompound } from '../../core/phrase/time';
import type { Meter, Tempo } from '../../core/phrase/types';
import type { Song } from './song';

const USUAL: Tempo = { bpm: 120, unit: 'quarter' };
const LEAST = 20;
const MOST = 400;

/** Microseconds a quarter at the beginning. */
export function microsOf(song: Song): number {
  return song.tempos[0]?.micros ?? 500_000;
}

/** The tempo at the beginning, counted in the beats of the meter; 120 where nothing is said (Standard MIDI Files 1.0). */
export function tempoOf(song: Song, meter: Meter | undefined): { tempo: Tempo; changes: boolean } {
  const [first] = song.tempos;
  if (first === undefined) return { tempo: USUAL, changes: false };
  const quarters = 60e6 / first.micros;
  const dotted = meter !== undefined && isCompound(meter) && meter.beatType === 8;
  const bpm = dotted ? quarters / 1.5 : quarters;
  const rounded =
    Math.abs(bpm - Math.round(bpm)) < 0.01 ? Math.round(bpm) : Math.round(bpm * 100) / 100;
  const tempo: Tempo = {
    bpm: Math.min(MOST, Math.max(LEAST, rounded)),
    unit: dotted ? 'dotted-quarter' : 'quarter',
  };
  return {
    tempo,
    changes: song.tempos.some(
      (t) => t.at > 0 && Math.abs(t.micros - first.micros) > first.micros / 200,
    ),
  };
}
