import { useMemo } from 'react';
import type { EasierWay } from '../../core/ease/types';
import { placedTitle } from '../../core/move/child';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { gainText, keptText } from '../../io/text/playability';
import { usualView } from '../../publish/degree-labels';
import { useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase } from '../frame/edit-phrase';
import { editsOf } from '../frame/edits';
import { childOf, keepAsNew } from '../frame/keep-as-new';
import { HearThis } from '../frame/listen/hear-this';
import type { RouteOf } from '../frame/route';
import { analysisOf } from '../score/analysis';
import { LARGE, ScoreView } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { barName, capital } from '../shared/words';

interface EasierWayItemProps {
  readonly draft: Draft;
  readonly route: RouteOf<'phrase'>;
  readonly way: EasierWay;
  /** The bar of the hard spot; null for a way that takes the whole phrase elsewhere. */
  readonly bar: number | null;
}

/** One easier way: what is done, what it keeps, its tablature, and how to hear it and keep it. */
export function EasierWayItem({ draft, route, way, bar }: EasierWayItemProps) {
  const app = useApp();
  const { phrase } = draft;
  const degrees = useMemo(() => usualView(analysisOf(way.phrase)), [way.phrase]);
  const changed = useMemo(() => changedIn(phrase, way.phrase), [phrase, way.phrase]);
  const result = { ...way.phrase, meta: phrase.meta };
  const playSo = () => {
    editPhrase(app, draft, result, 'easier way');
    app.notices.done(`“${titleOf(phrase)}” is played the easier way now.`, {
      label: 'Undo',
      run: () => {
        // Only while nothing else was done since: the step taken back must be this one.
        const last = editsOf(app).history(phrase.id).steps.at(-1);
        if (last?.command === 'phrase.easier way') editsOf(app).undo(phrase.id);
      },
    });
  };
  const title =
    bar === null
      ? placedTitle(phrase, '', way.what.replace('the whole phrase ', ''))
      : `${titleOf(phrase)}, easier in ${barName(bar).toLowerCase()}`;
  return (
    <li>
      <h4>{capital(way.what)}</h4>
      <p>
        {capital(keptText(way))}. <span className="quiet">{capital(gainText(way))}.</span>
      </p>
      <ScoreView
        phrase={way.phrase}
        label={`Notes of the easier way: ${way.what}`}
        staves="tab"
        size={LARGE}
        degrees={degrees}
        tempo={false}
        changed={changed}
        {...(bar === null ? {} : { bars: [bar, bar] as const })}
      />
      <div className="buttons">
        <HearThis phrase={way.phrase} what={way.what} />
        <button type="button" onClick={playSo}>
          Play it so<span className="unseen">: {way.what}</span>
        </button>
        <button
          type="button"
          onClick={() => void keepAsNew(app, childOf(app, phrase, result, title), route)}
        >
          Keep as a new phrase<span className="unseen">: {way.what}</span>
        </button>
      </div>
    </li>
  );
}

function changedIn(before: Phrase, after: Phrase): ReadonlySet<NoteId> {
  const told = (p: Phrase) =>
    new Map(notesOf(p).map(({ note, event }) => [note.id, JSON.stringify([note, event.duration])]));
  const was = told(before);
  return new Set([...told(after)].filter(([id, now]) => was.get(id) !== now).map(([id]) => id));
}
