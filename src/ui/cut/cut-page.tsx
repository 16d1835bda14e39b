import { useDeferredValue, useMemo, useState } from 'react';
import { type CutWay, cutPhrase } from '../../core/edit/cut';
import type { Phrase } from '../../core/phrase/types';
import { useApp, usePageTitle } from '../frame/app-context';
import { removePhrases } from '../frame/keep-and-remove';
import { keepAllAsNew } from '../frame/keep-as-new';
import { HearThis } from '../frame/listen/hear-this';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { ScoreView, SMALL } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { count } from '../shared/words';
import { CutFields, FIRST_WAY } from './cut-fields';
import '../shared/pages.css';
import './cut.css';

/** So many parts are drawn before more are asked for. */
const DRAWN = 12;

/** `#/phrase/ID/cut`: a long phrase as several; nothing changes until they are kept. */
export function CutPage({ route }: { readonly route: RouteOf<'cut'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {(draft) => <Cut key={route.id} phrase={draft.phrase} />}
    </PhraseOrReason>
  );
}

function Cut({ phrase }: { readonly phrase: Phrase }) {
  const title = titleOf(phrase);
  usePageTitle(`Cut ${title}`);
  const [way, setWay] = useState<CutWay>(FIRST_WAY);
  const looked = useDeferredValue(way);
  const parts = useMemo(() => partsOf(phrase, looked), [phrase, looked]);
  const back = addressOf({ page: 'phrase', id: phrase.id, query: {} });
  return (
    <article className="page cut-page">
      <p className="way-back">
        <a href={back}>{title}</a>
      </p>
      <header>
        <h1>Cut it into phrases</h1>
        <p>
          {title} has {count(phrase.bars.length, 'bar')}. Below is what would come of it; nothing
          changes until you keep the phrases.
        </p>
      </header>
      <CutFields phrase={phrase} way={way} onChange={setWay} />
      <Keep phrase={phrase} parts={parts} />
      <Parts parts={parts} />
    </article>
  );
}

/** The parts under ids of the preview; one alone where there is nothing to cut. */
function partsOf(phrase: Phrase, way: CutWay): readonly Phrase[] {
  const { modified } = phrase.meta;
  return cutPhrase(phrase, way, (n) => ({ id: `part-${n}`, now: modified }));
}

function Keep({ phrase, parts }: { readonly phrase: Phrase; readonly parts: readonly Phrase[] }) {
  const app = useApp();
  const [takeOut, setTakeOut] = useState(false);
  const keep = async () => {
    const now = app.now();
    const made = parts.map((p) => ({
      ...p,
      id: app.newId(),
      parent: phrase.id,
      meta: { ...p.meta, created: now, modified: now },
    }));
    const kept = await keepAllAsNew(app, made);
    if (!kept) return;
    if (takeOut) await removePhrases(app, [phrase.id]);
    navigate({ page: 'library', query: { order: 'changed' } });
  };
  if (parts.length < 2) {
    return <p role="status">It stays one phrase. Choose another place to cut.</p>;
  }
  return (
    <div className="cut-keep">
      <label className="cut-out">
        <input type="checkbox" checked={takeOut} onChange={(e) => setTakeOut(e.target.checked)} />
        <span>Take the long one out of the library then</span>
      </label>
      <p className="buttons">
        <button type="button" className="primary" onClick={() => void keep()}>
          Keep the {parts.length} phrases
        </button>
        <a className="button" href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>
          Leave it as it is
        </a>
      </p>
      <p role="status" className="unseen">
        {count(parts.length, 'phrase')}
      </p>
    </div>
  );
}

function Parts({ parts }: { readonly parts: readonly Phrase[] }) {
  const [drawn, setDrawn] = useState(DRAWN);
  return (
    <>
      <ol className="cut-parts">
        {parts.slice(0, drawn).map((p) => (
          <li key={p.id}>
            <h2>{p.meta.title}</h2>
            <p className="quiet">{count(p.bars.length, 'bar')}</p>
            <p className="cut-hear">
              <HearThis phrase={p} what={p.meta.title} />
            </p>
            <ScoreView phrase={p} label={`Notes of ${p.meta.title}`} size={SMALL} tempo={false} />
          </li>
        ))}
      </ol>
      {parts.length > drawn && (
        <button type="button" onClick={() => setDrawn(drawn + DRAWN)}>
          Show more: {drawn} of {parts.length}
        </button>
      )}
    </>
  );
}
