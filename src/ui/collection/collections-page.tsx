import { useMemo, useSyncExternalStore } from 'react';
import { type Collection, newCollection } from '../../core/library/collection';
import { COLLECTIONS } from '../../io/kinds/kinds';
import { useActions, useApp, usePageTitle } from '../frame/app-context';
import { removeThings } from '../frame/keep-and-remove';
import { navigate } from '../frame/use-route';
import { refusalInWords } from '../shared/save-words';
import { count } from '../shared/words';
import {
  addressInLibrary,
  addressOfCollection,
  collectionTitle,
  PURPOSE_WORDS,
} from './collection-words';
import { SavedQuestions } from './saved-questions';
import '../shared/pages.css';
import './collection.css';

/** `#/collections`: every collection of the library, the one changed last first, and saved questions. */
export function CollectionsPage() {
  usePageTitle('Collections');
  const app = useApp();
  const all = app.store.of(COLLECTIONS);
  const stored = useSyncExternalStore(
    (changed) => app.store.subscribe(changed),
    () => all.all(),
  );
  const collections = useMemo(
    () => stored.map((s) => s.value).sort((a, b) => b.meta.modified.localeCompare(a.meta.modified)),
    [stored],
  );
  const actions = useMemo(
    () => [
      {
        id: 'collections.new',
        title: 'Begin a collection',
        group: 'Collections',
        run: () => {
          const made = newCollection([], { id: app.newId(), now: app.now(), title: '' });
          void all.save(made, null).then((saved) => {
            if (saved.kind === 'saved') {
              navigate({ page: 'collection', id: made.id, query: {} });
              return;
            }
            const why = saved.kind === 'conflict' ? [] : refusalInWords(saved);
            app.notices.trouble('The collection was not begun.', why);
          });
        },
      },
    ],
    [app, all],
  );
  useActions(actions);
  return (
    <article className="page">
      <header>
        <h1>Collections</h1>
        <p>
          Phrases put together for something: a week’s lesson, a student, a song form. A phrase can
          be in several. Choose phrases in the library to put them in.
        </p>
      </header>
      <p className="buttons">
        <button type="button" onClick={() => actions[0]?.run()}>
          Begin a collection
        </button>
      </p>
      {collections.length === 0 ? (
        <p>There is no collection yet.</p>
      ) : (
        <ul className="row-list">
          {collections.map((c) => (
            <Row key={c.id} collection={c} />
          ))}
        </ul>
      )}
      <SavedQuestions />
    </article>
  );
}

function Row({ collection: c }: { readonly collection: Collection }) {
  const app = useApp();
  const title = collectionTitle(c);
  const library = addressInLibrary(c);
  return (
    <li>
      <a href={addressOfCollection(c)}>{title}</a>
      <span className="quiet">
        {count(c.phrases.length, 'phrase')}
        {c.purpose !== 'any' && `, for ${PURPOSE_WORDS[c.purpose]}`}
      </span>
      {library !== null && (
        <a className="button" href={library}>
          In the library <span className="unseen">: {title}</span>
        </a>
      )}
      <button
        type="button"
        onClick={() => void removeThings(app, [{ kind: COLLECTIONS, id: c.id }])}
      >
        Remove <span className="unseen">{title}</span>
      </button>
    </li>
  );
}
