import { use, useMemo } from 'react';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { engraveTogether } from '../../engrave/together';
import { type ScoreLook, useEngraveOptions } from './score-view';
import { ScoreWords } from './score-words';
import { type SignRow, SignRows } from './sign-rows';
import { HeardOf, SoundingMarks } from './sounding';
import { System } from './system';
import { useWidth } from './use-width';

/** One of the two phrases under each other. */
export interface PairPart {
  readonly phrase: Phrase;
  /** Before each of its lines: `before`, `after`. */
  readonly caption: string;
  readonly changed?: ReadonlySet<NoteId>;
  /** A row for each under every line that has such a note. */
  readonly signs?: readonly SignRow[];
}

interface ScorePairProps extends ScoreLook {
  readonly upper: PairPart;
  readonly lower: PairPart;
}

/**
 * Two phrases bar under bar: lines are broken at the same bars and equal moments stand under each
 * other, line by line.
 */
export function ScorePair({ upper, lower, ...look }: ScorePairProps) {
  const heard = use(HeardOf);
  const [ref, width] = useWidth<HTMLDivElement>();
  const above = useEngraveOptions(upper.phrase, look, width, upper.changed);
  const below = useEngraveOptions(lower.phrase, look, width, lower.changed);
  const lines = useMemo(
    () =>
      above === null || below === null
        ? null
        : engraveTogether([
            { phrase: upper.phrase, options: above },
            { phrase: lower.phrase, options: { ...below, tempo: false } },
          ]),
    [upper.phrase, lower.phrase, above, below],
  );
  return (
    <div className="score pair" ref={ref}>
      {lines === null ? (
        <div className="score-waiting" aria-hidden="true" />
      ) : (
        <div aria-hidden="true">
          {lines.map((line, i) => (
            // Lines are numbered by their place: bars of the two may have different numbers.
            // biome-ignore lint/suspicious/noArrayIndexKey: a line has no other identity
            <div className="pair-line" key={i}>
              {line.map((system, k) =>
                system === null ? null : (
                  <div key={k === 0 ? 'upper' : 'lower'} className={k === 0 ? 'upper' : 'lower'}>
                    <p className="pair-caption">{(k === 0 ? upper : lower).caption}</p>
                    <div className="line">
                      <System svg={system.svg} />
                      {heard === 'both' || heard === (k === 0 ? 'upper' : 'lower') ? (
                        <SoundingMarks line={system} />
                      ) : null}
                    </div>
                    <SignRows line={system} rows={(k === 0 ? upper : lower).signs ?? []} />
                  </div>
                ),
              )}
            </div>
          ))}
        </div>
      )}
      <ScoreWords phrase={upper.phrase} label={`Notes, ${upper.caption}`} />
      <ScoreWords phrase={lower.phrase} label={`Notes, ${lower.caption}`} />
    </div>
  );
}
