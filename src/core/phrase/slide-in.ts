import { transpose } from '../theory/interval';
import { midiOf, type Pitch, pitchOfMidi } from '../theory/pitch';
import type { PitchedNote, Place, SlideIn } from './types';

/** Staff steps of an interval by its semitones, as it is usually spelled. */
const USUAL_STEPS = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6, 7] as const;

/**
 * Where a slide-in over a definite interval starts: fret and spelled pitch. A semitone is the next
 * letter (to F from E, to A from G♯) unless that would be a double accidental, or a white key under
 * a black key's name.
 */
export function slideInStart(
  note: Pick<PitchedNote, 'fret' | 'pitch'>,
  slideIn: Extract<SlideIn, { kind: 'interval' }>,
): { readonly fret: Place['fret']; readonly pitch: Pitch } {
  const sign = slideIn.from === 'below' ? -1 : 1;
  const { semitones } = slideIn;
  const octaves = Math.floor(semitones / 12);
  const steps = USUAL_STEPS[semitones % 12]! + 7 * octaves;
  const spelled = transpose(note.pitch, { steps: sign * steps, semitones: sign * semitones });
  const plain = pitchOfMidi(midiOf(note.pitch) + sign * semitones, sign < 0 ? 'sharp' : 'flat');
  const odd = spelled === null || Math.abs(spelled.alter) > Math.abs(plain.alter);
  return { fret: note.fret + sign * semitones, pitch: odd ? plain : spelled };
}
