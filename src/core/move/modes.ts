import { type Chord, type ChordKind, chordFrom } from '../theory/chord';
import { type Degree, degree, degreeOf, pitchClassOf } from '../theory/degree';
import type { Key } from '../theory/key';

/**
 * M2: to a key of the other mode the numerals are kept: the chord on a scale step becomes the chord
 * on the same step of the other scale (I7 becomes i m7, IV7 iv m7, bare III, VI and VII lie on ♭3,
 * ♭6 and ♭7 in minor), and V keeps its major third. A chord that is not the step's own — a secondary
 * dominant, ♭VII7, a passing diminished chord — keeps its distance from the tonic and its quality.
 * The correspondence is that of the harmonised major and natural minor scales (common practice).
 */
export function keepNumeral(chord: Chord, from: Key, to: Key): Chord | null {
  const place = degreeOf(from.tonic, chord.root);
  const moved = convert(chord, place, from, to);
  const root = pitchClassOf(to.tonic, moved.place);
  if (root === null) return null;
  const bass = chord.bass === null ? null : pitchClassOf(to.tonic, bassPlace(chord.bass, from, to));
  if (chord.bass !== null && bass === null) return null;
  const made = chordFrom(root, moved.kind, moved.kind === chord.kind ? chord.degrees : [], bass);
  return made.ok ? made.value : null;
}

/** Whether a key is minor; blues keys are not (D6). */
export function isMinor(k: Key): boolean {
  return k.mode === 'minor';
}

interface Step {
  /** Alteration of the step in minor; in major it is 0. */
  readonly minorAlter: 0 | -1;
  /** Which kinds belong to the step in major and in minor, pairwise. */
  readonly kinds: readonly (readonly [major: ChordKind, minor: ChordKind])[];
}

const TONIC: Step['kinds'] = [
  ['major', 'minor'],
  ['dominant', 'minor-seventh'],
  ['major-seventh', 'minor-seventh'],
  ['major-sixth', 'minor-sixth'],
  ['dominant-ninth', 'minor-ninth'],
  ['major-ninth', 'minor-ninth'],
  ['dominant-11th', 'minor-11th'],
  ['major-11th', 'minor-11th'],
  ['dominant-13th', 'minor-13th'],
  ['major-13th', 'minor-13th'],
];
const SUPERTONIC: Step['kinds'] = [
  ['minor', 'diminished'],
  ['minor-seventh', 'half-diminished'],
  ['minor-ninth', 'half-diminished'],
];
const MEDIANT: Step['kinds'] = [
  ['minor', 'major'],
  ['minor-seventh', 'major-seventh'],
  ['minor-ninth', 'major-ninth'],
];
const LEADING: Step['kinds'] = [
  ['diminished', 'major'],
  ['half-diminished', 'dominant'],
];
/** The fifth keeps its major third in both modes, so only a minor v is turned, and only to major. */
const DOMINANT_FROM_MINOR: Step['kinds'] = [
  ['major', 'minor'],
  ['dominant', 'minor-seventh'],
  ['dominant-ninth', 'minor-ninth'],
];

const STEPS: Readonly<Record<1 | 2 | 3 | 4 | 6 | 7, Step>> = {
  1: { minorAlter: 0, kinds: TONIC },
  2: { minorAlter: 0, kinds: SUPERTONIC },
  3: { minorAlter: -1, kinds: MEDIANT },
  4: { minorAlter: 0, kinds: TONIC },
  6: { minorAlter: -1, kinds: MEDIANT },
  7: { minorAlter: -1, kinds: LEADING },
};

function convert(
  chord: Chord,
  place: Degree,
  from: Key,
  to: Key,
): { readonly kind: ChordKind; readonly place: Degree } {
  const unchanged = { kind: chord.kind, place };
  if (isMinor(from) === isMinor(to)) return unchanged;
  if (place.number === 5) {
    if (place.alter !== 0 || isMinor(to)) return unchanged;
    const pair = DOMINANT_FROM_MINOR.find(([, minor]) => minor === chord.kind);
    return pair === undefined ? unchanged : { kind: pair[0], place };
  }
  const step = STEPS[place.number];
  if (isMinor(to)) {
    const pair = place.alter === 0 ? step.kinds.find(([major]) => major === chord.kind) : undefined;
    if (pair === undefined) return unchanged;
    return { kind: pair[1], place: degree(place.number, step.minorAlter) };
  }
  const pairs =
    place.alter === step.minorAlter ? step.kinds.filter(([, minor]) => minor === chord.kind) : [];
  // A minor seventh on i or iv becomes a dominant in a blues key and a major seventh in a major key.
  const wanted =
    pairs.find(([major]) => major.startsWith('dominant') === (to.mode === 'blues')) ?? pairs[0];
  return wanted === undefined ? unchanged : { kind: wanted[0], place: degree(place.number, 0) };
}

/** A slash bass keeps its place in the scale: the third of the key stays the key's third. */
function bassPlace(bass: NonNullable<Chord['bass']>, from: Key, to: Key): Degree {
  const place = degreeOf(from.tonic, bass);
  const isStep = place.number === 3 || place.number === 6 || place.number === 7;
  if (!isStep || isMinor(from) === isMinor(to)) return place;
  if (isMinor(to) && place.alter === 0) return degree(place.number, -1);
  if (!isMinor(to) && place.alter === -1) return degree(place.number, 0);
  return place;
}
