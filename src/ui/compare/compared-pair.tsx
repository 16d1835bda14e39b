import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { usualView } from '../../publish/degree-labels';
import { HearBoth } from '../frame/listen/hear-both';
import { analysisOf } from '../score/analysis';
import { LookFields, readLook, writeLook } from '../score/look-fields';
import { ScorePair } from '../score/score-pair';
import type { Query } from '../shared/query';
import { differenceWords } from './difference-words';
import { besidesOf, type Comparison, compare, type Difference } from './differences';
import { type DifferenceKind, KINDS } from './traits';
import './compare.css';

/** One of two phrases that are looked at under each other. */
export interface ComparedSide {
  readonly phrase: Phrase;
  /** Before its lines, and over its column: the title, `as it was`. */
  readonly name: string;
  /** Where it stands, for the one who listens: `above`. */
  readonly where: string;
}

interface ComparedPairProps {
  readonly upper: ComparedSide;
  readonly lower: ComparedSide;
  /** Has what is shown of the music. */
  readonly query: Query;
  readonly onLook: (query: Query) => void;
  /** What differs besides music, before the rest. */
  readonly words?: readonly Difference[];
  /** Whether what differs is a heading of its own page, or of a part of one. */
  readonly level?: 2 | 3;
}

/** Two phrases bar under bar, to be heard, and in words what differs. */
export function ComparedPair(props: ComparedPairProps) {
  const { upper, lower, query, onLook, words = [], level: Heading = 2 } = props;
  const [above, below] = [upper.phrase, lower.phrase];
  const usual = useMemo(() => usualView(analysisOf(above), analysisOf(below)), [above, below]);
  const look = readLook(query, usual);
  const found = useMemo(() => compare(above, below), [above, below]);
  const parts = useMemo(
    () => ({
      upper: { phrase: above, caption: upper.name, ...marked(found.upperMarked) },
      lower: { phrase: below, caption: lower.name, ...marked(found.lowerMarked) },
    }),
    [above, below, upper.name, lower.name, found],
  );
  const facts = [...words, ...found.facts];
  const H = `h${Heading}` as const;
  return (
    <>
      <LookFields look={look} onChange={(next) => onLook(writeLook(next, usual))} />
      <HearBoth
        upper={{ phrase: above, name: upper.where, title: `Hear ${upper.name}` }}
        lower={{ phrase: below, name: lower.where, title: `Hear ${lower.name}` }}
        first="upper"
        apart
      >
        <ScorePair {...parts} staves={look.staves} degrees={look.degrees} />
      </HearBoth>
      <section aria-labelledby="differences">
        <H id="differences">What differs</H>
        <p role="status">
          {differenceWords(found.notes, found.equal, facts.length, besidesOf(found, words))}
        </p>
        {facts.length + found.notes.length === 0 ? null : (
          <Differences
            upper={upper.name}
            lower={lower.name}
            rows={[...facts.map((f) => ({ ...f, id: f.what })), ...found.notes]}
          />
        )}
      </section>
    </>
  );
}

/** Notes that differ are framed, and under the line stands in what, kind by kind. */
function marked(kinds: Comparison['upperMarked']) {
  return {
    changed: new Set(kinds.keys()),
    signs: (Object.keys(KINDS) as DifferenceKind[]).flatMap((k) => {
      const notes = new Set([...kinds].flatMap(([id, of]) => (of.includes(k) ? [id] : [])));
      return notes.size === 0 ? [] : [{ ...KINDS[k], notes }];
    }),
  };
}

function Differences(props: {
  readonly upper: string;
  readonly lower: string;
  readonly rows: readonly (Difference & {
    readonly id: string;
    readonly kinds?: readonly DifferenceKind[];
  })[];
}) {
  return (
    <table className="note-table">
      <caption className="unseen">What differs</caption>
      <thead>
        <tr>
          <th scope="col">Where</th>
          <th scope="col">In what</th>
          <th scope="col">{props.upper}</th>
          <th scope="col">{props.lower}</th>
        </tr>
      </thead>
      <tbody>
        {props.rows.map((r) => (
          <tr key={r.id}>
            <th scope="row">{r.what}</th>
            <td data-name={r.kinds === undefined ? undefined : 'In what'}>
              {(r.kinds ?? []).map((k) => (
                <span className="kind" key={k}>
                  <span className="kind-sign" aria-hidden="true">
                    {KINDS[k].sign}
                  </span>{' '}
                  {KINDS[k].word}
                </span>
              ))}
            </td>
            <td data-name={props.upper}>{r.upper}</td>
            <td data-name={props.lower}>{r.lower}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
