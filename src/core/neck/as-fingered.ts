import { STANDARD_TUNING } from '../phrase/instrument';
import type { Instrument, Key, Pitch } from '../phrase/types';
import {
  addIntervals,
  classInterval,
  type Interval,
  invertInterval,
  octaves,
  transpose,
  transposeClass,
} from '../theory/interval';
import { settleKey } from '../theory/key';
import { chromaOf, midiOf, mod, type PitchClass, pitchOfMidi } from '../theory/pitch';

/**
 * A phrase 'as fingered' (N2): pitches as they would sound in standard tuning without a capo, so
 * that shapes read under their usual names. Only a view: data stays sounding.
 */
export interface FingeredView {
  /** From the pitch that is read to the pitch that sounds. */
  readonly toSounding: Interval;
  readonly pitch: (sounding: Pitch) => Pitch;
  readonly pitchClass: (sounding: PitchClass) => PitchClass;
  readonly key: Key;
}

/**
 * Semitones by which the instrument sounds above the hand's names: the capo, and how far the whole
 * tuning lies off the standard one (−1 for half a step down). Other tunings count as their own.
 */
export function fingeredSemitones(i: Instrument): number {
  const off = i.tuning.map((p, k) => {
    const standard = STANDARD_TUNING[k];
    return standard === undefined ? Number.NaN : midiOf(p) - midiOf(standard);
  });
  const [first] = off;
  const whole =
    off.length === STANDARD_TUNING.length && off.every((n) => n === first) ? (first ?? 0) : 0;
  return i.capo + whole;
}

/** The view of an instrument and key, or null where it equals what sounds. */
export function fingeredView(i: Instrument, key: Key): FingeredView | null {
  const semitones = fingeredSemitones(i);
  if (semitones === 0) return null;
  const tonic = nameForKey(mod(chromaOf(key.tonic) - semitones, 12), key);
  const within = classInterval(tonic, key.tonic);
  const toSounding = addIntervals(within, octaves((semitones - within.semitones) / 12));
  const down = invertInterval(toSounding);
  const respelled = (p: Pitch) => pitchOfMidi(midiOf(p) - semitones, 'flat');
  return {
    toSounding,
    key: { tonic, mode: key.mode },
    // Beyond a double accidental the plain name is read; the sounding spelling is not touched.
    pitch: (p) => transpose(p, down) ?? respelled(p),
    pitchClass: (p) => transposeClass(p, down) ?? respelled({ ...p, octave: 4 }),
  };
}

/** The usual name of a tonic with that chroma, on the side of the key it is read from (P5). */
function nameForKey(chroma: number, source: Key): PitchClass {
  const { letter, alter } = pitchOfMidi(60 + chroma, 'flat');
  return settleKey({ tonic: { letter, alter }, mode: source.mode }, source).tonic;
}
