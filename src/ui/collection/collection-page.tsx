import { useId, useMemo, useState } from 'react';
import {
  type Collection,
  PURPOSES,
  renamed,
  withoutPhrases,
  withPhrases,
} from '../../core/library/collection';
import type { Phrase } from '../../core/phrase/types';
import { COLLECTIONS } from '../../io/kinds/kinds';
import { useActions, useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { useExport } from '../frame/export/use-export';
import { makeLesson } from '../frame/make-lesson';
import { NotHere } from '../frame/not-here';
import { OpeningPage } from '../frame/opening-library';
import { PhraseSelect } from '../frame/phrase-select';
import { usePhrasesOf } from '../frame/phrases-of';
import { type RecordEdits, useRecord } from '../frame/record-edits';
import { RecordSaving } from '../frame/record-saving';
import { addressOf, type RouteOf } from '../frame/route';
import { plainLine, plainLines } from '../shared/plain-text';
import {
  addressInLibrary,
  addressOfCollection,
  collectionTitle,
  PURPOSE_WORDS,
} from './collection-words';
import { OrderedList } from './ordered-list';
import '../shared/pages.css';
import './collection.css';

/** `#/collection/ID`: the phrases of a collection, in their order. */
export function CollectionPage({ route }: { readonly route: RouteOf<'collection'> }) {
  const edits = useRecord(COLLECTIONS, route.id);
  const { state } = useLibrary();
  if (edits !== null) return <Sheet edits={edits} />;
  if (state === 'opening') return <OpeningPage />;
  return (
    <NotHere kind={COLLECTIONS} id={route.id}>
      <p>
        <a href={addressOf({ page: 'collections', query: {} })}>See the collections</a>
      </p>
    </NotHere>
  );
}

const NONE: readonly Phrase[] = [];

function Sheet({ edits }: { readonly edits: RecordEdits<Collection> }) {
  const { value: collection, change } = edits;
  const title = collectionTitle(collection);
  usePageTitle(title);
  const { phrases: read, gone } = usePhrasesOf(collection.phrases);
  const phrases = read ?? NONE;
  const { open: openExport, dialog } = useExport();
  const actions = useCollectionActions(edits, phrases, openExport);
  useActions(actions);
  const button = (id: string) => actions.find((a) => a.id === id);
  const library = addressInLibrary(collection);
  return (
    <article className="page collection-page">
      <p className="way-back">
        <a href={addressOf({ page: 'collections', query: {} })}>Collections</a>
      </p>
      <h1 className="unseen">{title}</h1>
      <Head edits={edits} />
      <p className="buttons">
        <button
          type="button"
          className="primary"
          disabled={phrases.length === 0}
          onClick={() => button('collection.lesson')?.run()}
        >
          Make a lesson
        </button>
        <button
          type="button"
          disabled={phrases.length === 0}
          onClick={() => button('collection.export')?.run()}
        >
          Export …
        </button>
        {library !== null && (
          <a className="button" href={library}>
            See it in the library
          </a>
        )}
        <button type="button" disabled={!edits.canUndo} onClick={edits.undo}>
          Undo
        </button>
        <button type="button" disabled={!edits.canRedo} onClick={edits.redo}>
          Do again
        </button>
      </p>
      <p>
        <a
          className="alone"
          href={addressOf({ page: 'past', of: 'collection', id: collection.id, query: {} })}
        >
          Earlier versions of this collection
        </a>
      </p>
      <RecordSaving
        edits={edits}
        noun="collection"
        addressOf={addressOfCollection}
        titleOf={collectionTitle}
      />
      <h2>Phrases</h2>
      {read !== null && <OrderedList collection={collection} phrases={phrases} change={change} />}
      {gone.length > 0 && (
        <p className="quiet">
          {gone.length === 1
            ? '1 phrase of it was removed from the library; its place is kept for when it comes back. '
            : `${gone.length} phrases of it were removed from the library; their places are kept for when they come back. `}
          <button type="button" onClick={() => change(withoutPhrases(collection, gone))}>
            Forget {gone.length === 1 ? 'it' : 'them'}
          </button>
        </p>
      )}
      <AddOne collection={collection} change={change} />
      {dialog}
    </article>
  );
}

function useCollectionActions(
  edits: RecordEdits<Collection>,
  phrases: readonly Phrase[],
  openExport: (phrases: readonly Phrase[]) => void,
) {
  const app = useApp();
  const { value, undo, redo, canUndo, canRedo } = edits;
  return useMemo(() => {
    const group = 'Collection';
    const none = phrases.length === 0 ? { blocked: 'No phrase is in it.' } : {};
    return [
      {
        id: 'collection.lesson',
        title: 'Make a lesson of this collection',
        group,
        words: 'students handout homework page',
        ...none,
        run: () => void makeLesson(app, phrases, collectionTitle(value)),
      },
      {
        id: 'collection.export',
        title: 'Export its phrases',
        group,
        words: 'save download zip',
        ...none,
        run: () => openExport(phrases),
      },
      {
        id: 'collection.undo',
        title: 'Undo',
        group,
        ...(canUndo ? {} : { blocked: 'Nothing was changed.' }),
        run: undo,
      },
      {
        id: 'collection.redo',
        title: 'Do again',
        group,
        ...(canRedo ? {} : { blocked: 'Nothing was undone.' }),
        run: redo,
      },
    ];
  }, [app, value, phrases, openExport, undo, redo, canUndo, canRedo]);
}

function Head({ edits: { value: c, change } }: { readonly edits: RecordEdits<Collection> }) {
  return (
    <div className="collection-head">
      <label>
        <span>Title of the collection</span>
        <input
          type="text"
          value={c.meta.title}
          maxLength={500}
          data-first-focus={c.meta.title === '' ? '' : undefined}
          onChange={(e) => change(renamed(c, { title: plainLine(e.target.value) }), 'title')}
        />
      </label>
      <label>
        <span>What it is for</span>
        <select
          value={c.purpose}
          onChange={(e) => {
            const purpose = PURPOSES.find((p) => p === e.target.value) ?? c.purpose;
            change(renamed(c, { purpose }));
          }}
        >
          {PURPOSES.map((p) => (
            <option key={p} value={p}>
              {PURPOSE_WORDS[p]}
            </option>
          ))}
        </select>
      </label>
      <label className="collection-notes">
        <span>Notes</span>
        <textarea
          rows={2}
          value={c.meta.notes ?? ''}
          maxLength={20_000}
          onChange={(e) => change(renamed(c, { notes: plainLines(e.target.value) }), 'notes')}
        />
      </label>
    </div>
  );
}

function AddOne(props: {
  readonly collection: Collection;
  readonly change: (next: Collection) => void;
}) {
  const { collection, change } = props;
  const id = useId();
  const [chosen, setChosen] = useState<string | null>(null);
  return (
    <div className="collection-add">
      <label htmlFor={id}>
        <span>Put in one more</span>
        <PhraseSelect id={id} value={chosen} onChange={(id) => setChosen(id === '' ? null : id)} />
      </label>
      <button
        type="button"
        disabled={chosen === null || collection.phrases.includes(chosen)}
        onClick={() => {
          if (chosen !== null) change(withPhrases(collection, [chosen]));
          setChosen(null);
        }}
      >
        Put it in
      </button>
    </div>
  );
}
