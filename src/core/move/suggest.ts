import type { Chord } from '../theory/chord';
import { hasMajorThird, hasPerfectFifth } from '../theory/chord';
import { tableRow } from '../theory/chord-scale';
import {
  type Degree,
  degree,
  degreeOf,
  degreeSemitones,
  degreeSign,
  sameDegree,
} from '../theory/degree';
import type { Key } from '../theory/key';
import { midiOf, mod, type Pitch } from '../theory/pitch';
import type { NoteReading } from '../understand/reading';
import { nameOf } from './lane';
import { nameOfPitch, pitchNear } from './naming';
import type { Suggestion } from './request';

/**
 * Useful changes to a note that was held over a new chord (M1, M6): offered, never made unasked.
 * @param r The note's reading over its new chord.
 */
export function suggestFor(r: NoteReading, key: Key): Suggestion | null {
  const chord = r.owner?.chord ?? null;
  const d = r.heard.chordDegree;
  if (chord === null || d === null || r.drone || r.anchorBy === 'user') return null;
  if (isFlatFiveOverV(r, chord, key)) return inPassing(r, chord, d);
  return overFour(r, chord, d, key) ?? overFive(r, chord, d, key) ?? clash(r, chord, d);
}

/**
 * A degree a semitone above a chord tone of the same number clashes with it: 7 over a dominant, 3
 * over a minor chord, 5 over a diminished one. The chord's own version is offered (M6, worked
 * example 5; common practice).
 */
function clash(r: NoteReading, chord: Chord, d: Degree): Suggestion | null {
  if (d.number === 1 || d.number === 2 || d.number === 4 || d.number === 6) return null;
  const own = tableRow(chord)[d.number];
  if (own === null || own.number !== d.number) return null;
  if (degreeSemitones(d) - degreeSemitones(own) !== 1) return null;
  return change(
    r,
    chord,
    own,
    `${degreeSign(d)} clashes with the ${degreeSign(own)} of ${nameOf(chord)}`,
  );
}

const IV = degree(4);
const V = degree(5);

/** M6 over IV7: the key's ♭7 is 4 of IV; where it is a guide tone it goes down to the key's 6, the 3 of IV. */
function overFour(r: NoteReading, chord: Chord, d: Degree, key: Key): Suggestion | null {
  if (!sameDegree(degreeOf(key.tonic, chord.root), IV) || !hasMajorThird(chord)) return null;
  if (!sameDegree(r.heard.keyDegree, degree(7, -1)) || !sameDegree(d, degree(4))) return null;
  if (!isGuideTone(r)) return null;
  return change(
    r,
    chord,
    degree(3),
    `the key's ♭7 is 4 of ${nameOf(chord)}; as a guide tone its 3 is the stronger note`,
  );
}

/** M6 over V7: the key's R is 4 of V, down to its 3; ♭7 is ♭3 of V, bent to 3; ♭3 is ♭6, aims at its 5. */
function overFive(r: NoteReading, chord: Chord, d: Degree, key: Key): Suggestion | null {
  if (!sameDegree(degreeOf(key.tonic, chord.root), V) || !hasMajorThird(chord)) return null;
  const inKey = r.heard.keyDegree;
  if (sameDegree(inKey, degree(1)) && sameDegree(d, degree(4)) && r.role !== 'passing') {
    return change(
      r,
      chord,
      degree(3),
      `the key's R is 4 of ${nameOf(chord)}; it wants to go down to its 3`,
    );
  }
  if (sameDegree(inKey, degree(7, -1)) && sameDegree(d, degree(3, -1))) {
    const third = above(chord, degree(3), r.heard.pitch, 1);
    if (third === null) return null;
    const text = `the key's ♭7 is ♭3 of ${nameOf(chord)}; bend it a semitone to the 3`;
    // A note that is open or bent already cannot take the bend, so it is only said.
    return r.note.fret > 0 &&
      r.note.bend === undefined &&
      r.note.harmonic === undefined &&
      r.note.trill === undefined
      ? { id: r.note.id, text, bendTo: third }
      : { id: r.note.id, text };
  }
  if (sameDegree(inKey, degree(3, -1)) && r.role !== 'passing' && hasPerfectFifth(chord)) {
    return {
      id: r.note.id,
      text: `the key's ♭3 is ♭6 of ${nameOf(chord)}; use it in passing or lead it to the 5`,
    };
  }
  return null;
}

/** The key's ♭5 is a semitone below the root of V, its 7 (M6). */
function isFlatFiveOverV(r: NoteReading, chord: Chord, key: Key): boolean {
  const isFlatFive = mod(degreeSemitones(r.heard.keyDegree), 12) === degreeSemitones(degree(5, -1));
  return (
    isFlatFive && sameDegree(degreeOf(key.tonic, chord.root), V) && tableRow(chord)[7]?.alter === -1
  );
}

/** M6: it leads to the root as it did to the key's 5, so lowering it would only repeat or skip a step. */
function inPassing(r: NoteReading, chord: Chord, d: Degree): Suggestion | null {
  if (r.role === 'passing' || r.role === 'neighbour' || r.role === 'approach') return null;
  const text = `the key's ♭5 is ${degreeSign(d)} of ${nameOf(chord)}; use it in passing`;
  return { id: r.note.id, text };
}

/** Where the third and seventh are listened for: on a beat, or held for a beat (ours). */
function isGuideTone(r: NoteReading): boolean {
  return r.role !== 'passing' && r.role !== 'neighbour';
}

function change(r: NoteReading, chord: Chord, to: Degree, why: string): Suggestion | null {
  const from = r.heard.pitch;
  const pitch = below(chord, to, from);
  if (pitch === null) return null;
  return {
    id: r.note.id,
    pitch,
    text: `${why}: lower ${nameOfPitch(from)} to ${nameOfPitch(pitch)}`,
  };
}

function below(chord: Chord, d: Degree, from: Pitch): Pitch | null {
  const p = pitchNear(chord, d, midiOf(from));
  if (p === null) return null;
  return midiOf(p) < midiOf(from) ? p : { ...p, octave: p.octave - 1 };
}

function above(chord: Chord, d: Degree, from: Pitch, semitones: number): Pitch | null {
  const p = pitchNear(chord, d, midiOf(from) + semitones);
  return p !== null && midiOf(p) - midiOf(from) === semitones ? p : null;
}
