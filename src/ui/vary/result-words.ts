import type { VaryReport } from '../../core/vary/report';

/** What became of the notes: 'Two notes added, nine as before.' */
export function noteCounts({ counts }: VaryReport): string {
  const said = (n: number, words: string) => (n === 0 ? [] : [`${n} ${words}`]);
  const parts = [
    ...said(counts.added, 'added'),
    ...said(counts['left out'], 'left out'),
    ...said(counts['other pitch'], 'with another pitch'),
    ...said(counts['other time'], 'at another time or of another length'),
    ...said(counts['other way'], 'played another way'),
    ...said(counts.kept, 'as before'),
  ];
  return parts.length === 0 ? '' : `Notes: ${parts.join(', ')}.`;
}

/** What the hand has to say about it, from a difference that is felt. */
export function effortInWords({ effort: { before, after } }: VaryReport): string {
  if (before === null || after === null) return '';
  const more = after - before;
  if (more < FELT && more > -FELT) return 'For the hand it is as easy as before.';
  return more > 0 ? 'It is harder for the hand.' : 'It is easier for the hand.';
}

const FELT = 1.5;

/** The notes to be framed; none where nearly all of them changed, since that says nothing. */
export function marksOf({ notes }: VaryReport): ReadonlySet<string> {
  const there = notes.filter((n) => n.after !== null);
  const changed = there.filter((n) => n.change !== 'kept');
  return new Set(changed.length * 4 > there.length * 3 ? [] : changed.map((n) => n.id));
}
