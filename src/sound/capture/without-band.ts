import type { Heard, HeardNote } from '../../core/heard/types';
import { median } from './numbers';

/** A note that a band is known to play. */
export interface BandNote {
  /** Seconds of the recording. */
  readonly at: number;
  /** MIDI number. */
  readonly midi: number;
}

/** A note of the band is heard as near as this to its time, in seconds, and to its pitch, in semitones. */
const NEAR = 0.06;
const SAME = 0.6;
/** It may be heard an octave up, where a loudspeaker has no bass, and under a chord the tone an octave below it. */
const OCTAVES = [0, 12, -12] as const;
/** What is softer than the playing by this factor, 12 dB, has leaked in. */
const SOFTER = 4;
/** Fewer notes that are surely played say nothing of how loud the playing is. */
const LEAST = 4;
/** Seconds of a note in which it is measured how loud it is. */
const LOOKED_AT = 0.12;

/**
 * What was heard without what the band played, where that leaks into the microphone: a note goes that is the band's
 * in time and pitch and much softer than what is surely played.
 * @param samples What was heard, at `rate` samples a second.
 */
export function withoutBand(
  heard: Heard,
  samples: Float32Array,
  rate: number,
  band: readonly BandNote[],
): Heard {
  if (band.length === 0) return heard;
  const sorted = [...band].sort((a, b) => a.at - b.at);
  const same = heard.notes.map((n) => isOfBand(n, sorted));
  const own = heard.notes.filter((_, i) => !same[i]).map((n) => loudness(n, samples, rate));
  if (own.length < LEAST) return heard;
  const softest = median(own) / SOFTER;
  return {
    ...heard,
    notes: heard.notes.filter((n, i) => !same[i] || loudness(n, samples, rate) > softest),
  };
}

function isOfBand(n: HeardNote, band: readonly BandNote[]): boolean {
  let low = 0;
  let high = band.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (band[middle]!.at < n.onset - NEAR) low = middle + 1;
    else high = middle;
  }
  for (let i = low; i < band.length && band[i]!.at <= n.onset + NEAR; i++) {
    const { midi } = band[i]!;
    if (OCTAVES.some((o) => Math.abs(n.pitch - midi - o) < SAME)) return true;
  }
  return false;
}

/** How loud the lowest partial of a note is as it begins: the others may be those of a note that is played. */
function loudness(n: HeardNote, samples: Float32Array, rate: number): number {
  const from = Math.max(0, Math.round(n.onset * rate));
  const to = Math.min(samples.length, from + Math.round(LOOKED_AT * rate));
  const step = (2 * Math.PI * 440 * 2 ** ((n.start - 69) / 12)) / rate;
  let x = 0;
  let y = 0;
  for (let i = from; i < to; i++) {
    const v = samples[i]! * Math.sin((Math.PI * (i - from)) / (to - from)) ** 2;
    x += v * Math.cos(step * (i - from));
    y += v * Math.sin(step * (i - from));
  }
  return Math.hypot(x, y) / Math.max(1, to - from);
}
