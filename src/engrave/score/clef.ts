import type { Instrument, Key } from '../../core/phrase/types';
import { signatureFifths } from '../../core/theory/key';
import { type Pitch, staffStep } from '../../core/theory/pitch';
import type { GlyphName } from '../font/glyphs';
import { SPACE } from '../ink/pen';

/** How a staff reads (P3): its sign, the note on its top line and how far written is from sounding. */
export interface Clef {
  readonly glyph: Extract<GlyphName, `${'g' | 'f'}Clef${string}`>;
  /** Staff step of the written note on the top line. */
  readonly topStep: number;
  /** Octaves that are added to a sounding pitch to write it. */
  readonly octaves: 0 | 1;
}

const F5 = 5 * 7 + 3;
const A3 = 3 * 7 + 5;

const CLEFS: Readonly<Record<Instrument['clef'], Clef>> = {
  'treble-8': { glyph: 'gClef8vb', topStep: F5, octaves: 1 },
  treble: { glyph: 'gClef', topStep: F5, octaves: 0 },
  'bass-8': { glyph: 'fClef8vb', topStep: A3, octaves: 1 },
};

/** The clef of an instrument, with its octave sign (P3). */
export function clefOf(i: Instrument): Clef {
  return CLEFS[i.clef];
}

/** The written pitch of a sounding one. */
export function writtenPitch(clef: Clef, p: Pitch): Pitch {
  return clef.octaves === 0 ? p : { ...p, octave: p.octave + clef.octaves };
}

/** y of a written pitch: the top line is 0, half a space down for each step. */
export function staffY(clef: Clef, written: Pitch): number {
  return ((clef.topStep - staffStep(written)) * SPACE) / 2;
}

/** Sharps or flats that stand in the signature; a theoretical key shows its first seven. */
export function shownFifths(k: Key): number {
  return Math.max(-7, Math.min(7, signatureFifths(k)));
}
