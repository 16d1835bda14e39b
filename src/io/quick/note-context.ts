import { playableFrets } from '../../core/phrase/instrument';
import type { Instrument, Phrase, Ticks } from '../../core/phrase/types';
import { midiOf, type Pitch, type PitchClass, parsePitchClass } from '../../core/theory/pitch';
import { LIMITS } from '../json/limits';
import type { Scanner } from './scanner';

/** What a note is read against: the phrase so far, for chords and names. */
export interface NoteContext {
  readonly phrase: Phrase;
  readonly onset: Ticks;
  readonly string: number;
  readonly id: string;
  /** Place of a degree: chosen where the whole is known. */
  readonly placeOf: (degree: string, octaves: number, at: number) => PlacedPitch | null;
}

export interface PlacedPitch {
  readonly pitch: Pitch;
  readonly string: number;
  readonly fret: number;
}

/** No neck has so many frets: said here, where what is wrong is still a fret and not yet a pitch. */
export function checkFret(
  scan: Scanner,
  instrument: Instrument,
  fret: number,
  at: number,
): boolean {
  if (fret <= LIMITS.frets) return true;
  const top = Math.max(0, playableFrets(instrument));
  const capo = instrument.capo > 0 ? ', counted from the capo' : '';
  scan.report(`there is no fret ${fret}`, `The frets are 0 to ${top}${capo}.`, at);
  return false;
}

/** The pitch of a sound under another name; as it was where the name has another sound. */
export function named(usual: Pitch, midi: number, name: string | undefined): Pitch {
  const pc: PitchClass | null = name === undefined ? null : parsePitchClass(name);
  if (pc === null) return usual;
  const octave = usual.octave + Math.round((midi - midiOf({ ...pc, octave: usual.octave })) / 12);
  const pitch = { ...pc, octave };
  return midiOf(pitch) === midi ? pitch : usual;
}
