import { barSpans } from './time';
import type { Phrase, PhrasePart, Ticks } from './types';
import { notesOf } from './walk';

/** Where a part stands, as far as its own notes tell. Ticks and places are the whole's. */
export interface PartStands {
  readonly part: PhrasePart;
  /** Bars as musicians count them, 0 the pickup, from the first of its notes to the last. */
  readonly firstBar: number;
  readonly lastBar: number;
}

/** The parts of which at least one note is left, in the order in which they stand. */
export function partsOf(whole: Phrase): readonly PartStands[] {
  const spans = barSpans(whole);
  const barOf = (at: Ticks) => spans.filter((s) => s.start <= at).at(-1)?.number ?? 0;
  return (whole.parts ?? [])
    .flatMap((part) => {
      const own = notesOf(whole).filter(({ note }) => note.id.startsWith(part.notes));
      const [first] = own;
      if (first === undefined) return [];
      // A pickup belongs to the bar that it leads to.
      const bars = own.map((n) => barOf(n.onset));
      return [{ part, at: first.onset, firstBar: Math.min(...bars), lastBar: Math.max(...bars) }];
    })
    .sort((a, b) => a.at - b.at)
    .map(({ part, firstBar, lastBar }) => ({ part, firstBar, lastBar }));
}
