import type { ChordChange, Key, Pitch, Ticks } from '../../../src/core/phrase/types';
import { pitchClassOf, USUAL_DEGREES } from '../../../src/core/theory/degree';
import {
  chromaOf,
  formatPitchClass,
  midiOf,
  mod,
  type PitchClass,
  parsePitchClass,
  pitchOfMidi,
} from '../../../src/core/theory/pitch';
import type { Dice } from './dice';

/** For each semitone above a root, the usual names it has there (D1); kept because roots recur. */
const NAMES = new Map<string, readonly (readonly PitchClass[])[]>();

function namesOver(root: PitchClass): readonly (readonly PitchClass[])[] {
  const name = formatPitchClass(root);
  const known = NAMES.get(name);
  if (known !== undefined) return known;
  const made = USUAL_DEGREES.map((degrees) =>
    degrees.map((x) => pitchClassOf(root, x)).filter((x) => x !== null),
  );
  NAMES.set(name, made);
  return made;
}

const ROOT = /^[A-G](?:##|bb|#|b)?/u;

/** The root that names notes at an onset: of the chord there, of the first chord, or the tonic. */
export function rootAt(chords: readonly ChordChange[], key: Key, onset: Ticks): PitchClass {
  let symbol = chords[0]?.symbol ?? null;
  for (const c of chords) if (c.onset <= onset) symbol = c.symbol;
  const root = symbol === null ? null : parsePitchClass(ROOT.exec(symbol)![0]);
  return root ?? key.tonic;
}

/** The pitch that sounds `midi`, named as a usual degree over the root. */
export function spell(d: Dice, root: PitchClass, midi: number): Pitch {
  const names = namesOver(root)[mod(midi - chromaOf(root), 12)]!;
  const second = d.chance(0.15);
  const pc = (second ? names[1] : undefined) ?? names[0];
  if (pc === undefined) return pitchOfMidi(midi, 'sharp');
  const zero = midiOf({ ...pc, octave: 0 });
  return { ...pc, octave: Math.round((midi - zero) / 12) };
}
