import type { Drum } from './parts';
import type { ToneName } from './tone';

/** Zero-based General MIDI programs of the tones (MIDI 1.0, General MIDI System Level 1); a ukulele is a nylon guitar. */
export const PROGRAMS: Readonly<Record<ToneName, number>> = {
  clean: 27,
  driven: 30,
  steel: 25,
  nylon: 24,
  bass: 33,
  ukulele: 24,
};

/** Zero-based channel of a string; the tenth is kept for drums (General MIDI). */
export function channelOf(string: number): number {
  return string <= 9 ? string - 1 : string;
}

/** Zero-based channel of drums (General MIDI System Level 1). */
export const DRUM_CHANNEL = 9;

/**
 * Keys of the percussion channel (General MIDI System Level 1, percussion key map). Level 1 has no
 * brushes: a tap is the acoustic snare, and a sweep the maracas, the softest rustle of the map (ours).
 */
export const DRUM_KEYS: Readonly<Record<Drum, number>> = {
  kick: 36,
  snare: 38,
  'cross-stick': 37,
  brush: 38,
  sweep: 70,
  'closed hat': 42,
  'open hat': 46,
  'foot hat': 44,
  ride: 51,
  bell: 53,
  crash: 49,
  'high tom': 50,
  'low tom': 45,
};
