import { type Chord, remembered, shapeOf, tonesOf } from './chord-model';

/**
 * What a phrase hears in a chord: chords of one family take the same phrases (common practice). One
 * letter each: 7 dominant, M major, m minor, o diminished, - none.
 */
export type Family = '7' | 'M' | 'm' | 'o' | '-';

/** The family of a chord, by third, fifth and seventh; `-` for none. */
export const familyOf: (chord: Chord) => Family = remembered((chord) => {
  const { third, fifth, seventh } = shapeOf(tonesOf(chord));
  if (third === 'minor') return fifth === -1 ? 'o' : 'm';
  if (third === 'major' || third === 'none') return seventh === -1 ? '7' : 'M';
  return seventh === -1 ? '7' : '-';
});
