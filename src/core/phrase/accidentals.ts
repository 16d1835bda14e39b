import { pitchClassAtFifths } from '../theory/key';
import { type Letter, type Pitch, staffStep } from '../theory/pitch';

/** A note of a bar as the accidentals see it. */
export interface PrintedPitch {
  readonly pitch: Pitch;
  /** It continues a note by a tie and needs no accidental of its own. */
  readonly tied: boolean;
}

/** Why a note shows its accidental: the rule asks for it, or it only reminds of what is over. */
export type ShownAccidental = 'needed' | 'cautionary' | null;

/** The last alteration that a bar had on each line and space (`staffStep`). */
export type LastAlters = ReadonlyMap<number, number>;

export interface BarAccidentals {
  /** For each note. */
  readonly shown: readonly ShownAccidental[];
  /** What the bar leaves behind for the cautions of the next one. */
  readonly last: LastAlters;
}

/**
 * Which notes of one bar and one staff show an accidental (common practice): those that differ from
 * the key signature, or from the last accidental on their line or space in this bar. A tied note
 * shows none and leaves none behind; in another octave the signature counts again. A cautionary one
 * stands where a note needs none and the bar before left its line or space altered otherwise, or a
 * tie over the bar line did.
 * @param fifths The key signature, sharps positive.
 * @param notes In the order they sound, graces before their note, all voices together.
 * @param before What the bar before left; empty after a bar of rests and at the beginning.
 */
export function accidentalsOf(
  fifths: number,
  notes: readonly PrintedPitch[],
  before: LastAlters,
): BarAccidentals {
  const signature = signatureAlters(fifths);
  const inForce = new Map<number, number>();
  const last = new Map<number, number>();
  const shown = notes.map(({ pitch, tied }): ShownAccidental => {
    const step = staffStep(pitch);
    const { alter } = pitch;
    const heard = last.get(step) ?? before.get(step) ?? alter;
    last.set(step, alter);
    if (tied) return null;
    const current = inForce.get(step) ?? signature.get(pitch.letter) ?? 0;
    const first = !inForce.has(step);
    inForce.set(step, alter);
    if (current !== alter) return 'needed';
    return first && heard !== alter ? 'cautionary' : null;
  });
  return { shown, last };
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
