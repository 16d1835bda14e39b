import { STANDARD_TUNING } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import { midiOf } from '../theory/pitch';

/** A string may be tuned so many semitones away and still sound like itself (ours). */
const RETUNED = 2;

/** Whether it has the six strings of a guitar, whatever they are tuned to: what was heard of their sound goes for it. */
export function isStrungAsGuitar({ tuning }: Instrument): boolean {
  return (
    tuning.length === STANDARD_TUNING.length &&
    tuning.every((p, i) => Math.abs(midiOf(p) - midiOf(STANDARD_TUNING[i]!)) <= RETUNED)
  );
}
