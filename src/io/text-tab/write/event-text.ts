import type { NoteValue } from '../../../core/phrase/note-value';
import type { Note, PhraseEvent } from '../../../core/phrase/types';
import type { WrittenItem } from '../../../core/phrase/written';
import type { LegendKeys } from './legend';

/** How an event is struck, in one word: stroke or strum, accents, tremolo; empty for nothing special. */
export function strikeText(e: PhraseEvent, used: LegendKeys): string {
  let text = '';
  const add = (sign: string, key: Parameters<LegendKeys['add']>[0]) => {
    text += sign;
    used.add(key);
  };
  if (e.rake !== undefined) add('rake', 'rake');
  if (e.stroke !== undefined) add(e.stroke === 'down' ? 'd' : 'u', 'stroke');
  if (e.strum !== undefined) add(e.strum === 'down' ? 'D' : 'U', 'strum');
  if (e.accent) add('>', 'accent');
  if (e.staccato) add('.', 'staccato');
  if (e.tenuto) add('-', 'tenuto');
  if (e.tremolo !== undefined) add('/'.repeat(e.tremolo), 'tremolo');
  return text;
}

const VALUE_LETTERS: Readonly<Record<NoteValue, string>> = {
  whole: 'w',
  half: 'h',
  quarter: 'q',
  eighth: 'e',
  '16th': 's',
  '32nd': 't',
  '64th': '64',
  '128th': '128',
};

/** A written note value: `before` stands in front of the column, so that the letter is in it. */
export function valueText(
  item: WrittenItem,
  used: LegendKeys,
): { readonly before: string; readonly text: string } {
  if (item.wholeBar) return { before: '', text: 'rest' };
  const { tuplet } = item;
  used.add(item.value === '64th' || item.value === '128th' ? 'shortValues' : 'values');
  if (item.dots > 0) used.add('dotted');
  if (item.event === null) used.add('rest');
  if (item.tieStop) used.add('tied');
  if (tuplet !== null) used.add('tuplet');
  return {
    before: (tuplet?.start ? `${tuplet.actual}[` : '') + (item.tieStop ? '+' : ''),
    text:
      (item.event === null ? 'r' : '') +
      VALUE_LETTERS[item.value] +
      (item.dots > 0 ? '.' : '') +
      (tuplet?.stop ? ']' : ''),
  };
}

/** A letter for each note from the first string down, `-` for a note without one; empty for none at all. */
export function fingerText(notes: readonly Note[], field: 'finger' | 'pluck'): string {
  const letters = notes.map((n) => (n.kind === 'pitched' ? n[field] : undefined));
  return letters.every((l) => l === undefined) ? '' : letters.map((l) => l ?? '-').join('');
}
