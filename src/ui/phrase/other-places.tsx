import { useEffect, useMemo, useState } from 'react';
import { type PlaceElsewhere, placesElsewhere } from '../../core/neck/elsewhere';
import { checkPlayable } from '../../core/neck/playable';
import type { Phrase } from '../../core/phrase/types';
import { notesOf } from '../../core/phrase/walk';
import { useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase } from '../frame/edit-phrase';
import { childOf, keepAsNew } from '../frame/keep-as-new';
import type { RouteOf } from '../frame/route';
import { ScoreView, SMALL } from '../score/score-view';
import { titleOf } from '../shared/facts';
import { count } from '../shared/words';

/** Other areas shown. */
const MOST = 5;

function placeKey(p: Phrase): string {
  return notesOf(p)
    .map(({ note }) => `${note.id} ${note.string}/${note.fret}`)
    .sort()
    .join();
}

/** The other places on the neck, sought when they are asked for; one of them can be kept. */
export function OtherPlaces(props: { readonly draft: Draft; readonly route: RouteOf<'phrase'> }) {
  const { draft, route } = props;
  const { phrase } = draft;
  const [open, setOpen] = useState(route.query.places === 'yes');
  return (
    <details className="other-places" open={open} onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>
        <h2>Other places on the neck</h2>
      </summary>
      {open ? <FoundPlaces draft={draft} route={route} key={musicKey(phrase)} /> : null}
    </details>
  );
}

/** Changes with the notes, not with what is said about them. */
function musicKey(p: Phrase): string {
  return `${p.id} ${placeKey(p)}`;
}

function FoundPlaces(props: { readonly draft: Draft; readonly route: RouteOf<'phrase'> }) {
  const app = useApp();
  const { draft, route } = props;
  const { phrase } = draft;
  const [found, setFound] = useState<readonly PlaceElsewhere[] | null>(null);
  const [sought] = useState(phrase);
  useEffect(() => {
    // A long phrase takes a moment: that it is being looked for is on screen first.
    const timer = setTimeout(() => setFound(placesElsewhere(sought, MOST)));
    return () => clearTimeout(timer);
  }, [sought]);
  const faults = useMemo(() => (found?.length === 0 ? checkPlayable(phrase) : []), [found, phrase]);
  if (found === null) return <p role="status">Looking along the neck …</p>;
  if (found.length === 0) {
    return (
      <p role="status">
        {faults.length === 0
          ? 'There is no other area of the neck where this phrase can be played.'
          : `No place keeps all the rules of the neck: ${faults.map((f) => f.message).join('; ')}.`}
      </p>
    );
  }
  return (
    <>
      <p role="status">{count(found.length, 'other place')}, the easiest first.</p>
      <ol className="places">
        {found.map(({ phrase: placed, fret }, i) => {
          const name = `around fret ${fret}`;
          const here = { ...placed, meta: phrase.meta };
          return (
            // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew as a whole
            <li key={i}>
              <h3>{`${name[0]!.toUpperCase()}${name.slice(1)}`}</h3>
              <ScoreView
                phrase={placed}
                label={`Notes ${name}`}
                staves="tab"
                size={SMALL}
                degrees="off"
                tempo={false}
              />
              <div className="buttons">
                <button
                  type="button"
                  onClick={() => {
                    editPhrase(app, draft, here, 'place on the neck');
                    app.notices.done(`“${titleOf(phrase)}” is played ${name} now.`);
                  }}
                >
                  Play it here
                </button>
                <button
                  type="button"
                  onClick={() =>
                    void keepAsNew(
                      app,
                      childOf(app, phrase, here, `${phrase.meta.title}, ${name}`),
                      route,
                    )
                  }
                >
                  Keep as a new phrase
                </button>
              </div>
            </li>
          );
        })}
      </ol>
    </>
  );
}
