import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { engraveJoined } from '../../engrave/joined';
import { type ScoreLook, useEngraveOptions } from './score-view';
import { ScoreWords } from './score-words';
import { SoundingMarks } from './sounding';
import { System } from './system';
import { useWidth } from './use-width';

interface ScoreJoinedProps extends ScoreLook {
  readonly upper: Phrase;
  /** What stands beneath it in every line, with the same bars. */
  readonly lower: Phrase;
  /** Of the lower one, over its first line. */
  readonly name: string;
  /** What the lists of notes are called for whoever listens. */
  readonly labels: readonly [string, string];
}

/** Two phrases of the same bars on the same lines, joined by a bracket. */
export function ScoreJoined({ upper, lower, name, labels, ...look }: ScoreJoinedProps) {
  const [ref, width] = useWidth<HTMLDivElement>();
  const above = useEngraveOptions(upper, look, width);
  const below = useEngraveOptions(lower, beneathLook(look), width);
  const lines = useMemo(
    () =>
      above === null || below === null
        ? null
        : engraveJoined({ phrase: upper, options: above }, { phrase: lower, options: below, name }),
    [upper, lower, name, above, below],
  );
  return (
    <div className="score" ref={ref}>
      {lines === null ? (
        <div className="score-waiting" aria-hidden="true" />
      ) : (
        <div aria-hidden="true">
          {lines.map((line, i) => (
            <div className="line" key={line.bars[0] ?? i}>
              <System svg={line.svg} />
              <SoundingMarks line={line} />
            </div>
          ))}
        </div>
      )}
      <ScoreWords phrase={upper} label={labels[0]} />
      <ScoreWords phrase={lower} label={labels[1]} />
    </div>
  );
}

/** Degrees under every strum would be more than anybody reads; where nothing else is shown they stay. */
function beneathLook(look: ScoreLook): ScoreLook {
  return look.staves === 'degrees' ? look : { ...look, degrees: 'off' };
}
