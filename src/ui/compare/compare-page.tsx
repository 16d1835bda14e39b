import { useMemo } from 'react';
import { analyse } from '../../core/understand/analyse';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { HearBoth } from '../frame/listen/hear-both';
import { PhraseSelect } from '../frame/phrase-select';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { LookFields, readLook, writeLook } from '../score/look-fields';
import { ScorePair } from '../score/score-pair';
import { titleOf } from '../shared/facts';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { count } from '../shared/words';
import './compare.css';
import { type Comparison, compare, type Difference, type NoteDifference } from './differences';
import { type DifferenceKind, KINDS } from './traits';

/** `#/compare/A/B`: two phrases bar under bar, and in words what differs. */
export function ComparePage({ route }: { readonly route: RouteOf<'compare'> }) {
  return (
    <PhraseOrReason id={route.a}>
      {(a) => (
        <PhraseOrReason id={route.b}>
          {(b) => <Compared route={route} upper={a} lower={b} />}
        </PhraseOrReason>
      )}
    </PhraseOrReason>
  );
}

function Compared(props: {
  readonly route: RouteOf<'compare'>;
  readonly upper: Draft;
  readonly lower: Draft;
}) {
  const { route } = props;
  const [upper, lower] = [props.upper.phrase, props.lower.phrase];
  usePageTitle(`${titleOf(upper)} and ${titleOf(lower)}`);
  const usual = useMemo(() => usualView(analyse(upper), analyse(lower)), [upper, lower]);
  const look = readLook(route.query, usual);
  const found = useMemo(() => compare(upper, lower), [upper, lower]);
  const parts = useMemo(
    () => ({
      upper: { phrase: upper, caption: titleOf(upper), ...marked(found.upperMarked) },
      lower: { phrase: lower, caption: titleOf(lower), ...marked(found.lowerMarked) },
    }),
    [upper, lower, found],
  );
  return (
    <article className="page compare-page">
      <header>
        <h1>Two phrases compared</h1>
        <div className="compared">
          <ChoosePhrase name="Above" route={route} side="a" />
          <button
            type="button"
            onClick={() => navigate({ ...route, a: route.b, b: route.a }, 'replace')}
          >
            Change places
          </button>
          <ChoosePhrase name="Below" route={route} side="b" />
        </div>
      </header>
      <LookFields
        look={look}
        onChange={(next) => navigate({ ...route, query: writeLook(next, usual) }, 'replace')}
      />
      <HearBoth
        upper={{ phrase: upper, name: 'above', title: `Hear ${titleOf(upper)}` }}
        lower={{ phrase: lower, name: 'below', title: `Hear ${titleOf(lower)}` }}
        first="upper"
        apart
      >
        <ScorePair {...parts} staves={look.staves} degrees={look.degrees} />
      </HearBoth>
      <section aria-labelledby="differences">
        <h2 id="differences">What differs</h2>
        <p role="status">{summary(found.notes, found.equal, found.facts.length)}</p>
        {found.facts.length + found.notes.length === 0 ? null : (
          <Differences
            upper={titleOf(upper)}
            lower={titleOf(lower)}
            rows={[...found.facts.map((f) => ({ ...f, id: f.what })), ...found.notes]}
          />
        )}
      </section>
    </article>
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

function summary(notes: readonly NoteDifference[], equal: number, facts: number): string {
  const different = notes.length;
  if (different + facts === 0) return `Nothing: all ${count(equal, 'note')} are the same.`;
  if (different === 0) return 'Every note is the same.';
  const same = equal === 0 ? 'none is' : equal === 1 ? '1 is' : `${equal} are`;
  const kinds = (Object.keys(KINDS) as DifferenceKind[]).flatMap((k) => {
    const n = notes.filter((x) => x.kinds.includes(k)).length;
    return n === 0 ? [] : [`${KINDS[k].word} ${n}`];
  });
  const differ = count(different, 'note differs', 'notes differ');
  return `${differ} (${kinds.join(', ')}), ${same} the same. Notes that differ are framed in the music, and under it stands in what.`;
}

function ChoosePhrase(props: {
  readonly name: string;
  readonly route: RouteOf<'compare'>;
  readonly side: 'a' | 'b';
}) {
  const { route, side } = props;
  return (
    <p className="choose-phrase">
      <label htmlFor={`compare-${side}`}>
        {props.name}
        <PhraseSelect
          id={`compare-${side}`}
          value={route[side]}
          onChange={(id) => navigate({ ...route, [side]: id }, 'push')}
        />
      </label>
      <a href={addressOf({ page: 'phrase', id: route[side], query: {} })}>Open it</a>
    </p>
  );
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
