import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { analysisOf } from './analysis';
import { scoreInWords } from './note-words';

/** The score for whoever listens to the page: every bar, and in it every note, as a list. */
export function ScoreWords({ phrase, label }: { readonly phrase: Phrase; readonly label: string }) {
  const bars = useMemo(() => scoreInWords(phrase, analysisOf(phrase)), [phrase]);
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
