import { blockOf, chosenNotes, eventAt, voiceOf } from '../../../core/edit/select';
import type { EditState } from '../../../core/edit/state';
import { positionOf } from '../../../core/phrase/time';
import { beatPlaceOf } from '../../../core/phrase/time-words';
import type { Analysis } from '../../../core/understand/analyse';
import { noteInWords } from '../../score/note-words';
import { barName, capital, count } from '../../shared/words';

/**
 * Where the writer is and what is there, as a sentence without a full stop:
 * `Bar 1, beat 2 and, string 3, fret 7: D, 2 of C7, hammered on, for an eighth`.
 */
export function whereInWords(s: EditState, analysis: Analysis): string {
  const { selection, phrase } = s;
  const { cursor, corner } = selection;
  if (corner !== null) return blockInWords(s);
  const { bar } = positionOf(phrase, cursor.onset);
  const voice = phrase.voices.length > 1 ? `, voice ${selection.voice + 1}` : '';
  if (cursor.onset >= phrase.length) {
    return `After the end, string ${cursor.string}${voice}`;
  }
  const event = eventAt(voiceOf(s), cursor.onset)?.event ?? null;
  const note = event?.notes.find((n) => n.string === cursor.string);
  const place = `${capital(barName(bar))}`;
  if (event === null || note === undefined) {
    const others = (event?.notes ?? []).map((n) => n.string).sort((a, b) => a - b);
    const here =
      others.length === 0
        ? 'empty'
        : others.length === 1
          ? `a note on string ${others[0]}`
          : `notes on strings ${others.join(', ')}`;
    return `${place}, beat ${beatPlaceOf(phrase, cursor.onset)}, string ${cursor.string}${voice}: ${here}`;
  }
  const words = noteInWords(
    phrase,
    { note, event, voice: selection.voice, onset: cursor.onset },
    analysis.byId.get(note.id) ?? null,
  );
  return `${place}${voice}, ${words.charAt(0).toLowerCase()}${words.slice(1)}`;
}

function blockInWords(s: EditState): string {
  const block = blockOf(s.selection);
  const notes = chosenNotes(s).length;
  const at = (onset: number) => {
    if (onset >= s.phrase.length) return 'the end';
    const { bar } = positionOf(s.phrase, onset);
    return `${barName(bar)}, beat ${beatPlaceOf(s.phrase, onset)}`;
  };
  const strings =
    block.top === block.bottom ? `string ${block.top}` : `strings ${block.top} to ${block.bottom}`;
  const span = block.from === block.to ? at(block.from) : `${at(block.from)}, to ${at(block.to)}`;
  return `${count(notes, 'note')} chosen: ${span}, ${strings}`;
}
