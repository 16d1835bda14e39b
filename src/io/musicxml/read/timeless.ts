import { child, childNumber, type XmlElement } from '../xml/parse';
import type { RawItem } from './raw';

/**
 * What a note of no length is read as, which the standard does not have (`<duration>` is above 0):
 * it sounds and takes no time, as a grace note does. In a chord it has the length of the chord, and a
 * rest is nothing. Null for a note with a length.
 * @param last What stands before it.
 */
export function timelessAs(e: XmlElement, last: RawItem | null): keyof typeof TIMELESS | null {
  if (childNumber(e, 'duration') !== 0 || child(e, 'grace') !== undefined) return null;
  if (child(e, 'rest') !== undefined) return 'rest';
  const inChord = child(e, 'chord') !== undefined && last !== null && !last.grace;
  return inChord && last.notes.length > 0 ? 'chord' : 'grace';
}

/** What is said of each. */
export const TIMELESS = {
  grace: 'a note of no length is read as a grace note',
  chord: 'a note of no length takes that of its chord',
  rest: 'a rest of no length is left out',
} as const;
