import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { PHRASES } from '../../io/kinds/kinds';
import { decodeLink } from '../../io/link/phrase-link';
import { useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { ListenBar } from '../frame/listen/listen-bar';
import { usePlayer } from '../frame/listen/use-player';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { ScoreView } from '../score/score-view';
import { Sounding } from '../score/sounding';
import { Facts, titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import { problemText } from '../shared/words';
import '../shared/pages.css';

const LIBRARY = addressOf({ page: 'library', query: {} });

/** `#/given/…`: a phrase that a link carries, to be looked at and heard, and kept if somebody likes. */
export function GivenPage({ route }: { readonly route: RouteOf<'given'> }) {
  const read = useMemo(() => decodeLink(route.data), [route.data]);
  usePageTitle(read.ok ? titleOf(read.value) : 'A link that cannot be read');
  if (read.ok) return <Given phrase={read.value} />;
  return (
    <section className="page">
      <h1>This link cannot be read</h1>
      {read.problems.slice(0, 3).map((p) => (
        <p key={problemText(p)}>{problemText(p)}</p>
      ))}
      <p>
        <a className="button" href={LIBRARY}>
          Go to the library
        </a>
      </p>
    </section>
  );
}

function Given({ phrase }: { readonly phrase: Phrase }) {
  const app = useApp();
  const { state } = useLibrary();
  const player = usePlayer(phrase);
  const here = useHere(phrase);
  const title = titleOf(phrase);
  const keep = async () => {
    const added = await app.store.of(PHRASES).add([phrase]);
    if (added.kind !== 'saved') {
      app.notices.trouble('The phrase was not kept.', refusalInWords(added));
      return;
    }
    const [one] = added.added;
    if (one === undefined) return;
    const { id } = one.stored;
    navigate({ page: 'phrase', id, query: {} });
    if (one.kind === 'same') return;
    const words =
      one.kind === 'copied'
        ? `“${title}” is kept beside the one you have: they differ.`
        : `“${title}” is in your library.`;
    app.notices.done(words, {
      label: 'Undo',
      run: () => {
        void app.store.remove([id]);
        navigate({ page: 'library', query: {} });
      },
    });
  };
  return (
    <article className="page">
      <header>
        <h1>{title}</h1>
        {phrase.meta.styleOf === undefined ? null : (
          <p className="style-of">in the style of {phrase.meta.styleOf}</p>
        )}
        <p>
          {here
            ? 'A phrase that was given to you by a link. There is one in your library that it may have come from.'
            : 'A phrase that was given to you by a link. It is not in your library yet.'}
        </p>
        <Facts phrase={phrase} />
      </header>
      <p className="buttons">
        <button
          type="button"
          className="primary"
          disabled={state !== 'ready'}
          onClick={() => void keep()}
        >
          Keep it in my library
        </button>
        <a className="button" href={LIBRARY}>
          {here ? 'Go to the library' : 'Leave it'}
        </a>
      </p>
      <Sounding value={player.heard}>
        <ScoreView phrase={phrase} label={`Notes of ${title}`} />
      </Sounding>
      <ListenBar player={player} />
      {phrase.meta.notes === undefined ? null : (
        <section>
          <h2>Notes for students</h2>
          {phrase.meta.notes.split('\n').map((line, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: lines of a text have no other identity
            <p key={i}>{line}</p>
          ))}
        </section>
      )}
    </article>
  );
}

/** Whether the library has a phrase of that id. */
function useHere({ id }: Phrase): boolean {
  const { store } = useApp();
  useLibrary();
  return store.phrase(id) !== null;
}
