import { handiestPlace } from '../../core/neck/handy-place';
import type { Note, Phrase, Ticks } from '../../core/phrase/types';
import { degreeNearMidi, parseDegree } from '../../core/theory/degree';
import { midiOf } from '../../core/theory/pitch';
import { rootAt } from '../../core/understand/spell';
import type { PlacedPitch } from './note-context';

/** The string on which a text begins that names none. */
export const MIDDLE = 3;

/** Where a degree is written. */
interface Here {
  readonly phrase: Phrase;
  readonly onset: Ticks;
  /** Struck together with it, already read. */
  readonly beside: readonly Note[];
  /** The note before it, if there is one. */
  readonly last: Note | undefined;
  /** The string of the moment before. */
  readonly string: number;
  /** Fret of the index finger. */
  readonly hand: number;
}

/** A degree in the octave nearest to the note before, on the handiest free string; null after a report. */
export function placeDegree(
  { phrase, onset, beside, last, string, hand }: Here,
  text: string,
  octaves: number,
  report: (why: readonly [message: string, fix: string]) => void,
): PlacedPitch | null {
  const degree = parseDegree(text)!;
  const { root } = rootAt(phrase, onset);
  const { tuning } = phrase.instrument;
  const near =
    last?.kind === 'pitched' ? midiOf(last.pitch) : midiOf(tuning[2] ?? tuning[0]!) + hand + 1;
  const pitch = degreeNearMidi(root, degree, near);
  const moved = pitch === null ? null : { ...pitch, octave: pitch.octave + octaves };
  const taken = beside.map((n) => n.string);
  const at = { instrument: phrase.instrument, hand, string, taken };
  const place = moved === null ? null : handiestPlace(at, midiOf(moved));
  if (moved !== null && place !== null && !taken.includes(place.string)) {
    return { pitch: moved, ...place };
  }
  report([
    `the instrument has no place for ${text} here`,
    'Add ^ or _ for another octave, or write string and fret.',
  ]);
  return null;
}
