import { type Chord, chordTones } from '../theory/chord';
import { homeScale } from '../theory/chord-scale';
import {
  type Degree,
  degree,
  degreeOf,
  degreeSemitones,
  pitchOfDegree,
  sameDegree,
} from '../theory/degree';
import { type Key, keyScale } from '../theory/key';
import { chromaOf, type Midi, midiOf, mod, type Pitch, type PitchClass } from '../theory/pitch';

/** What is at home at a moment: the chord's tones and home scale (M4), without a chord the key's. */
export interface Harmony {
  readonly root: PitchClass;
  readonly chord: Chord | null;
  /** Without a chord the tonic triad of the key. */
  readonly tones: readonly Degree[];
  readonly scale: readonly Degree[];
}

/**
 * The chord's home scale, and from the key what that leaves open (M4's '='): the seventh of a triad,
 * most of a power chord. In a blues the key's seventh is ♭7.
 */
function fullScale(key: Key, chord: Chord): readonly Degree[] {
  const home = homeScale(chord).map((d) =>
    d.number === 6 && isTonicOfMinor(key, chord) ? degree(6, -1) : d,
  );
  const own = new Set(home.map((d) => d.number));
  const more = scaleOfKey(key).flatMap((d) => {
    const pitch = pitchOfDegree({ ...key.tonic, octave: 4 }, d);
    const over = pitch === null ? null : degreeOf(chord.root, pitch);
    const sounds =
      over !== null && home.some((d) => mod(degreeSemitones(d) - degreeSemitones(over), 12) === 0);
    return over === null || own.has(over.number) || sounds ? [] : [over];
  });
  return [...home, ...more];
}

/**
 * The tonic triad or seventh of a minor key: its sixth is the key's ♭6, since a 6 there would be heard as another key
 * (common practice); a chord that names its 6 or its 7 keeps the scale it has. By sound: a ♯9 over the third is the
 * key's ♭3, and E♭m is the tonic of D♯ minor.
 */
function isTonicOfMinor(key: Key, chord: Chord): boolean {
  if (key.mode !== 'minor' || chromaOf(chord.root) !== chromaOf(key.tonic)) return false;
  const sounds = chordTones(chord).map((t) => mod(degreeSemitones(t), 12));
  const has = (d: Degree) => sounds.includes(mod(degreeSemitones(d), 12));
  return has(degree(3, -1)) && has(degree(5)) && !has(degree(6)) && !has(degree(7));
}

function scaleOfKey({ mode }: Key): readonly Degree[] {
  return keyScale(mode).map((d) => (mode === 'blues' && d.number === 7 ? degree(7, -1) : d));
}

/** The harmony of a chord; of the key where there is none (D2). */
export function harmonyOf(key: Key, chord: Chord | null): Harmony {
  if (chord !== null) {
    const scale = fullScale(key, chord);
    return { root: chord.root, chord, tones: chordTones(chord), scale };
  }
  const scale = scaleOfKey(key);
  const third = degree(3, key.mode === 'minor' ? -1 : 0);
  return { root: key.tonic, chord, tones: [degree(1), third, degree(5)], scale };
}

/** What a pitch is over the harmony's root. */
export function degreeIn(h: Harmony, p: Pitch): Degree {
  return degreeOf(h.root, p);
}

/** Whether a pitch is a tone of the chord, in any octave. */
export function isTone(h: Harmony, p: Pitch): boolean {
  return h.tones.some((t) => sameDegree(t, degreeIn(h, p)));
}

/** Whether a pitch lies in the chord's home scale, in any octave (M4). */
export function isInScale(h: Harmony, p: Pitch): boolean {
  return h.scale.some((t) => sameDegree(t, degreeIn(h, p)));
}

/** Every pitch of some degrees between two sounds, both included, ascending. */
export function pitchesOf(
  root: PitchClass,
  degrees: readonly Degree[],
  from: Midi,
  to: Midi,
): readonly Pitch[] {
  const found: Pitch[] = [];
  for (let octave = Math.floor(from / 12) - 3; octave <= Math.floor(to / 12) + 1; octave++) {
    for (const d of degrees) {
      const p = pitchOfDegree({ ...root, octave }, d);
      if (p !== null && midiOf(p) >= from && midiOf(p) <= to) found.push(p);
    }
  }
  return found.sort((a, b) => midiOf(a) - midiOf(b));
}

/** The nearest note of the scale below a sound, or above it; null where none can be written. */
export function scaleNeighbour(h: Harmony, midi: Midi, way: -1 | 1): Pitch | null {
  const list =
    way < 0
      ? pitchesOf(h.root, h.scale, midi - 5, midi - 1)
      : pitchesOf(h.root, h.scale, midi + 1, midi + 5);
  return list.at(way < 0 ? -1 : 0) ?? null;
}

/**
 * A pitch moved by steps of the scale; a note outside it keeps its semitones from the nearest note
 * of the scale above it. Null beyond what can be written.
 */
export function stepInScale(h: Harmony, p: Pitch, steps: number): Midi | null {
  const midi = midiOf(p);
  // Chords of altered notes name one sound twice.
  const scale = [...new Set(pitchesOf(h.root, h.scale, midi - 40, midi + 40).map(midiOf))];
  const at = scale.findIndex((m) => m >= midi);
  const moved = scale[at + steps];
  return at < 0 || moved === undefined ? null : moved - (scale[at]! - midi);
}
