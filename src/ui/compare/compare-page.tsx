import { areVersions } from '../../core/library/versions';
import type { Phrase } from '../../core/phrase/types';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { TWINS } from '../frame/kept-twins';
import { PhraseSelect } from '../frame/phrase-select';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { titleOf } from '../shared/facts';
import '../shared/pages.css';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import './compare.css';
import { ComparedPair } from './compared-pair';
import { KeepOne, KeepTwin } from './keep-one';

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
  const { choose } = route.query;
  const versions = choose === 'yes' || areVersions(about(upper), about(lower));
  usePageTitle(`${titleOf(upper)} and ${titleOf(lower)}`);
  return (
    <article className="page compare-page">
      {choose === 'twins' && (
        <p className="way-back">
          <a href={addressOf({ page: 'library', query: TWINS })}>What is here twice</a>
        </p>
      )}
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
      {versions ? (
        <KeepOne upper={upper} lower={lower} />
      ) : (
        choose === 'twins' && <KeepTwin upper={upper} lower={lower} />
      )}
      <ComparedPair
        upper={{ phrase: upper, name: titleOf(upper), where: 'above' }}
        lower={{ phrase: lower, name: titleOf(lower), where: 'below' }}
        query={route.query}
        onLook={(query) =>
          navigate(
            { ...route, query: { ...query, ...(choose !== undefined && { choose }) } },
            'replace',
          )
        }
      />
    </article>
  );
}

const about = ({ id, parent, meta }: Phrase) => ({ id, parent, created: meta.created });

function ChoosePhrase(props: {
  readonly name: string;
  readonly route: RouteOf<'compare'>;
  readonly side: 'a' | 'b';
}) {
  const { route, side } = props;
  // What is asked of these two is not asked of others.
  const { choose: _, ...query } = route.query;
  return (
    <p className="choose-phrase">
      <label htmlFor={`compare-${side}`}>
        {props.name}
        <PhraseSelect
          id={`compare-${side}`}
          value={route[side]}
          onChange={(id) => navigate({ ...route, [side]: id, query }, 'push')}
        />
      </label>
      <a href={addressOf({ page: 'phrase', id: route[side], query: {} })}>Open it</a>
    </p>
  );
}
