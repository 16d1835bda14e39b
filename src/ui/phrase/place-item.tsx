import { useMemo } from 'react';
import { placedTitle } from '../../core/move/child';
import type { PlaceElsewhere } from '../../core/neck/elsewhere';
import { stretchesOf } from '../../core/neck/neck-views';
import { analyse } from '../../core/understand/analyse';
import { usualView } from '../../publish/degree-labels';
import { useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase } from '../frame/edit-phrase';
import { editsOf } from '../frame/edits';
import { childOf, keepAsNew } from '../frame/keep-as-new';
import { HearThis } from '../frame/listen/hear-this';
import { NeckFigures } from '../frame/neck/neck-figures-on-demand';
import type { RouteOf } from '../frame/route';
import { LARGE, ScoreView } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { capital } from '../shared/words';
import { asksText, effortText, partName, placeName, placeWords } from './place-words';

interface PlaceItemProps {
  readonly draft: Draft;
  readonly route: RouteOf<'phrase'>;
  readonly place: PlaceElsewhere;
  /** The part that moves; null where the whole phrase does. */
  readonly bars: readonly [number, number] | null;
}

/** One place to play: what it asks of the hand, its tablature with degrees, and how to keep it. */
export function PlaceItem({ draft, route, place, bars }: PlaceItemProps) {
  const app = useApp();
  const { phrase } = draft;
  const name = placeName(place.fret);
  const part = bars === null ? '' : partName(bars);
  const { asks, eases } = placeWords(place.reasons);
  const degrees = useMemo(() => usualView(analyse(place.phrase)), [place.phrase]);
  const here = { ...place.phrase, meta: phrase.meta };
  const playHere = () => {
    editPhrase(app, draft, here, 'place on the neck');
    const what = bars === null ? `“${titleOf(phrase)}”` : `${part} of “${titleOf(phrase)}”`;
    app.notices.done(`${what} now ${isMany(bars) ? 'lie' : 'lies'} ${name}.`, {
      label: 'Undo',
      run: () => {
        // Only while nothing else was done since: the step taken back must be this one.
        const last = editsOf(app).history(phrase.id).steps.at(-1);
        if (last?.command === 'phrase.place on the neck') editsOf(app).undo(phrase.id);
      },
    });
  };
  const title = placedTitle(phrase, part.toLowerCase(), name);
  return (
    <li>
      <h3>
        {capital(name)} <span className="effort">{effortText(place.effort)}</span>
      </h3>
      <p>{asksText(asks)}</p>
      {eases.length === 0 ? null : <p>Made easier by {eases.join('; ')}.</p>}
      <ScoreView
        phrase={place.phrase}
        label={`Notes ${bars === null ? '' : `of ${part.toLowerCase()} `}${name}`}
        staves="tab"
        size={LARGE}
        degrees={degrees}
        tempo={false}
        {...(bars === null ? {} : { bars })}
      />
      {bars === null && stretchesOf(phrase).length > 2 ? null : (
        <NeckFigures phrase={place.phrase} degrees={degrees} {...(bars === null ? {} : { bars })} />
      )}
      <div className="buttons">
        <HearThis phrase={place.phrase} what={part === '' ? name : `${part}, ${name}`} />
        <button type="button" onClick={playHere}>
          Play it here
        </button>
        <button
          type="button"
          onClick={() => void keepAsNew(app, childOf(app, phrase, here, title), route)}
        >
          Keep as a new phrase
        </button>
      </div>
    </li>
  );
}

function isMany(bars: readonly [number, number] | null): boolean {
  return bars !== null && bars[0] !== bars[1] && bars[0] !== 0;
}
