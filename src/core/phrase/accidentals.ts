import { pitchClassAtFifths } from '../theory/key';
import { type Letter, type Pitch, staffStep } from '../theory/pitch';

/** A note of a bar as the accidentals see it. */
export interface PrintedPitch {
  readonly pitch: Pitch;
  /** It continues a note by a tie and needs no accidental of its own. */
  readonly tied: boolean;
}

/**
 * Which notes of one bar and one staff show an accidental (common practice): those that differ from
 * the key signature, or from the last accidental on their line or space in this bar. A tied note
 * shows none and leaves none behind; in another octave the signature counts again.
 * @param fifths The key signature, sharps positive.
 * @param notes In the order they sound, graces before their note, all voices together.
 * @returns for each note whether its accidental is shown.
 */
export function showAccidentals(
  fifths: number,
  notes: readonly PrintedPitch[],
): readonly boolean[] {
  const signature = signatureAlters(fifths);
  const inForce = new Map<number, number>();
  return notes.map(({ pitch, tied }) => {
    if (tied) return false;
    const step = staffStep(pitch);
    const current = inForce.get(step) ?? signature.get(pitch.letter) ?? 0;
    inForce.set(step, pitch.alter);
    return current !== pitch.alter;
  });
}

/** The letters that a signature alters; theoretical ones beyond seven alter twice. */
export function signatureAlters(fifths: number): ReadonlyMap<Letter, number> {
  const alters = new Map<Letter, number>();
  // Sharps come in the order F C G D A E B, the line of fifths from F; flats the other way.
  for (let i = 0; i < Math.abs(fifths); i++) {
    const place = (i % 7) - 1;
    const letter = pitchClassAtFifths(fifths > 0 ? place : 4 - place)!.letter;
    alters.set(letter, (alters.get(letter) ?? 0) + Math.sign(fifths));
  }
  return alters;
}
