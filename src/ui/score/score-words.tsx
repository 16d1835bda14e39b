import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { analysisOf } from './analysis';
import { scoreInWords } from './note-words';

/** The score for whoever listens to the page: every bar, and in it every note, as a list. */
export function ScoreWords(props: {
  readonly phrase: Phrase;
  readonly label: string;
  /** First and last bar that is told of; all when absent. */
  readonly bars?: readonly [number, number];
}) {
  const { phrase, label } = props;
  const all = useMemo(() => scoreInWords(phrase, analysisOf(phrase)), [phrase]);
  const [from, to] = props.bars ?? [0, Number.POSITIVE_INFINITY];
  const bars = all.filter((b) => b.bar >= from && b.bar <= to);
  return (
    <ul className="unseen" aria-label={label}>
      {bars.map((b) => (
        <li key={b.bar}>
          {b.heading}
          <ul>
            {b.notes.map((n) => (
              <li key={n.id}>{n.text}</li>
            ))}
          </ul>
        </li>
      ))}
    </ul>
  );
}
