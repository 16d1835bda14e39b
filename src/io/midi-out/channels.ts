import type { ToneName } from '../../core/sound/tone';

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
