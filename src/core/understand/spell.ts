import type { Phrase, Ticks } from '../phrase/types';
import { type Chord, chordTones } from '../theory/chord';
import { homeScale } from '../theory/chord-scale';
import {
  type Degree,
  degreeNearMidi,
  degreeSemitones,
  isUsualDegree,
  USUAL_DEGREES,
} from '../theory/degree';
import { type Key, keyScale } from '../theory/key';
import { chromaOf, type Midi, midiOf, mod, type Pitch, type PitchClass } from '../theory/pitch';
import { chordSpans, spanAt } from './owner';

/** What degrees count from at a moment: the chord there, without one the key's tonic. */
export function rootAt(p: Phrase, onset: Ticks): { root: PitchClass; chord: Chord | null } {
  const chord = spanAt(chordSpans(p), onset)?.chord ?? null;
  return chord === null ? { root: p.key.tonic, chord } : { root: chord.root, chord };
}

/**
 * The name of what is fretted at a moment. A player gives string and fret and means a degree: of
 * the degrees with that sound the chord's own tone is meant, else one of its home scale (M4), else
 * the first usual name (D1); where there is no chord, the key's scale goes before the usual names.
 * What is meant otherwise is respelled by hand.
 */
export function spellAt(p: Phrase, onset: Ticks, midi: Midi): Pitch {
  const { root, chord } = rootAt(p, onset);
  const wanted = mod(midi - chromaOf(root), 12);
  const fits = (d: Degree) => mod(degreeSemitones(d), 12) === wanted;
  const named = [
    ...(chord === null ? scaleOf(p.key) : [...chordTones(chord), ...homeScale(chord)]).filter(fits),
    ...USUAL_DEGREES[wanted]!,
  ].filter(isUsualDegree);
  for (const d of named) {
    const pitch = degreeNearMidi(root, d, midi);
    if (pitch !== null && midiOf(pitch) === midi) return pitch;
  }
  // A root with double accidentals: any name for the sound will do.
  const plain = degreeNearMidi({ letter: 'C', alter: 0 }, USUAL_DEGREES[mod(midi, 12)]![0]!, midi);
  if (plain === null) throw new RangeError(`no name for MIDI ${midi}`);
  return plain;
}

function scaleOf(key: Key): readonly Degree[] {
  return keyScale(key.mode);
}
