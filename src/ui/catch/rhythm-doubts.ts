import { barAt } from '../../core/phrase/time';
import { beatPlaceOf, lengthWords, placeWords } from '../../core/phrase/time-words';
import type { Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import type { CaughtPhrase, NoteDoubt } from '../../io/heard/phrases';
import { type SoundKey, soundKey } from './corrections';

/** Of which sounds the rhythm is unsure, and what it may be instead. */
export function doubtsBySound(
  phrases: readonly Pick<CaughtPhrase, 'doubts' | 'heard'>[],
): ReadonlyMap<SoundKey, NoteDoubt> {
  return new Map(
    phrases.flatMap(({ doubts, heard }) =>
      doubts.flatMap((d) => {
        const sound = heard.get(d.note);
        return sound === undefined ? [] : [[soundKey(sound), d] as const];
      }),
    ),
  );
}

/** What is unsure, as a sign beside a note says it. */
export const doubtSign = (d: NoteDoubt): string => (d.of === 'place' ? 'begin?' : 'length?');

/** What is unsure, as a sentence says it of its note. */
export function doubtWords(d: NoteDoubt): string {
  if (d.taken) return 'its rhythm is the one that you chose';
  return d.of === 'place' ? 'where it begins is unsure' : 'how long it lasts is unsure';
}

/**
 * The second-best rhythm, as a key offers it: `later, on beat 3 and`, `a dotted eighth long`.
 * @param phrase In which the note is written.
 */
export function otherWords(d: NoteDoubt, phrase: Phrase): string {
  if (d.of === 'length') return `${lengthWords(d.other)} long`;
  const way = d.other < 0 ? 'earlier' : 'later';
  const from = notesOf(phrase).find(({ note }) => note.id === d.note)?.event.onset;
  const to = from === undefined ? -1 : from + d.other;
  // Before the phrase begins no beat is counted.
  if (from === undefined || to < 0) return `${lengthWords(Math.abs(d.other))} ${way}`;
  const inBar = barAt(phrase, from).number === barAt(phrase, to).number;
  return `${way}, ${inBar ? `on beat ${beatPlaceOf(phrase, to)}` : `in ${placeWords(phrase, to)}`}`;
}
