import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { type Degree, degree, degreeNearMidi, degreeOf, degreeSemitones } from '../theory/degree';
import { midiOf, mod, type Pitch } from '../theory/pitch';
import type { Draft, Offer } from './draft';
import type { Work } from './line';

/** R 2 3 5 6 and R ♭3 4 5 ♭7: the same places in the two scales answer each other (common practice). */
const MAJOR = [degree(1), degree(2), degree(3), degree(5), degree(6)];
const MINOR = [degree(1), degree(3, -1), degree(4), degree(5), degree(7, -1)];

/** For every semitone over the tonic the place in the scale that it goes to. */
const PLACES = [0, 1, 1, 1, 2, 2, 3, 3, 4, 4, 4, 0];

/** What a line comes to rest on is no 4: the 3 there goes to the minor's own third (common practice). */
const MINOR_AT_REST = PLACES.map((place, over) => (over === 4 ? 1 : place));

function pentatonic(scale: readonly Degree[], word: string, atRest = PLACES) {
  return (work: Work): Offer => {
    const { phrase } = work;
    const end = phrase.voices[0].events.at(-1)?.onset;
    if (hasHarmonics(phrase)) return 'harmonics have no other pitch where they lie';
    const { tonic } = phrase.key;
    const to = (p: Pitch, places: readonly number[]): Pitch => {
      const d = degreeOf(tonic, p);
      const over = mod(degreeSemitones(d), 12);
      const wanted = scale[places[over]!]!;
      // The leading note goes up to the tonic, all others to what is near.
      const by = over === 11 ? 1 : degreeSemitones(wanted) - over;
      return degreeNearMidi(tonic, wanted, midiOf(p) + by) ?? p;
    };
    const draft: Draft = {
      kind: 'pitches',
      phrase,
      worth: 2,
      // A bend at the end keeps its way up.
      to: ({ at, start, heard }) =>
        heard === start
          ? { start: to(start.pitch, at.onset === end ? atRest : PLACES), target: null }
          : { start: to(start.pitch, PLACES), target: to(heard.pitch, PLACES) },
      reason: `every note in the ${word} pentatonic on ${tonic.letter}${'♭'.repeat(Math.max(0, -tonic.alter))}${'♯'.repeat(Math.max(0, tonic.alter))}`,
    };
    return [draft];
  };
}

function hasHarmonics(p: Phrase): boolean {
  return notesOf(p).some(({ note }) => note.kind === 'pitched' && note.harmonic !== undefined);
}

export const minorPentatonic = pentatonic(MINOR, 'minor', MINOR_AT_REST);
export const majorPentatonic = pentatonic(MAJOR, 'major');
