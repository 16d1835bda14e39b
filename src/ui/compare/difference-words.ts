import { count } from '../shared/words';
import { besidesOf, type Comparison, type Difference, type NoteDifference } from './differences';
import { type DifferenceKind, KINDS } from './traits';

/** `3 notes differ (pitch 2, place 1), 14 are the same. …`. */
export function differenceWords(
  notes: readonly NoteDifference[],
  equal: number,
  facts: number,
  besides: readonly string[] = [],
): string {
  const also = besides.length === 0 ? '' : ` Also different: ${besides.join(', ')}.`;
  return notesWords(notes, equal, facts + besides.length) + also;
}

function notesWords(notes: readonly NoteDifference[], equal: number, facts: number): string {
  const different = notes.length;
  if (different + facts === 0) return `Nothing: all ${count(equal, 'note')} are the same.`;
  if (different === 0) return 'Every note is the same.';
  const same = equal === 0 ? 'none is' : equal === 1 ? '1 is' : `${equal} are`;
  const differ = count(different, 'note differs', 'notes differ');
  return `${differ} (${kindCounts(notes)}), ${same} the same. Notes that differ are framed in the music, and under it stands in what.`;
}

/**
 * What became of a phrase, in short: `3 notes (pitch 2, place 1), key, tags`.
 * @param words What differs besides music.
 */
export function changeInShort(found: Comparison, words: readonly Difference[]): string {
  const { notes, facts } = found;
  const parts = [
    ...(notes.length === 0
      ? []
      : [`${count(notes.length, 'note')} (${kindCounts(notes, IN_TIME)})`]),
    ...[...words, ...facts].map((f) => f.what.toLowerCase()),
    ...besidesOf(found, words),
  ];
  return parts.length === 0 ? 'nothing that is heard or read' : parts.join(', ');
}

/** Where one came of the other, and neither stands above it. */
const IN_TIME: Partial<Record<DifferenceKind, string>> = { above: 'taken out', below: 'new' };

function kindCounts(
  notes: readonly NoteDifference[],
  words: Partial<Record<DifferenceKind, string>> = {},
): string {
  return (Object.keys(KINDS) as DifferenceKind[])
    .flatMap((k) => {
      const n = notes.filter((x) => x.kinds.includes(k)).length;
      return n === 0 ? [] : [`${words[k] ?? KINDS[k].word} ${n}`];
    })
    .join(', ');
}
