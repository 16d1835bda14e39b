import type { NoteValue } from '../../../core/phrase/note-value';
import { isUsual, ratioText } from '../../../core/phrase/tuplet-ratio';
import type { Note, PhraseEvent } from '../../../core/phrase/types';
import type { WrittenItem } from '../../../core/phrase/written';
import type { MomentTechnique } from '../../../core/technique/fields';
import type { LegendKey, LegendKeys } from './legend';

/** How an event is struck, in one word: stroke or strum, accents, tremolo; empty for nothing special. */
export function strikeText(e: PhraseEvent, used: LegendKeys): string {
  let text = '';
  for (const strike of Object.values(STRIKES)) {
    const sign = strike?.sign(e) ?? '';
    if (strike !== null && sign !== '') used.add(strike.key);
    text += sign;
  }
  return text;
}

interface Strike {
  readonly key: LegendKey;
  readonly sign: (e: PhraseEvent) => string;
}

/** What is written over the strings, in its order; null: it stands at the frets or over a stretch. */
const STRIKES: Readonly<Record<MomentTechnique, Strike | null>> = {
  rake: { key: 'rake', sign: (e) => (e.rake === undefined ? '' : 'rake') },
  stroke: {
    key: 'stroke',
    sign: ({ stroke: s }) => (s === undefined ? '' : s === 'down' ? 'd' : 'u'),
  },
  strum: {
    key: 'strum',
    sign: ({ strum: s }) => (s === undefined ? '' : s === 'down' ? 'D' : 'U'),
  },
  accent: { key: 'accent', sign: (e) => (e.accent ? '>' : '') },
  staccato: { key: 'staccato', sign: (e) => (e.staccato ? '.' : '') },
  tenuto: { key: 'tenuto', sign: (e) => (e.tenuto ? '-' : '') },
  tremolo: { key: 'tremolo', sign: (e) => '/'.repeat(e.tremolo ?? 0) },
  graces: null,
  palmMute: null,
};

/** What stands over a note of each value; the reader of our own text goes by it. */
export const VALUE_LETTERS: Readonly<Record<NoteValue, string>> = {
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
  if (tuplet !== null) used.add(isUsual(tuplet) ? 'tuplet' : 'ratio');
  return {
    before: (tuplet?.start ? `${ratioText(tuplet)}[` : '') + (item.tieStop ? '+' : ''),
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
