import {
  type ReactNode,
  useCallback,
  useDeferredValue,
  useMemo,
  useState,
  useSyncExternalStore,
} from 'react';
import { choicesOf } from '../../core/library/choices';
import type { PhraseFacts } from '../../core/library/facts';
import { filterPhrases, isNoFilter, NO_FILTER } from '../../core/library/filter';
import { LIBRARY_ORDERS, type LibraryOrder, sortPhrases } from '../../core/library/sort';
import type { Answered, LikeOne } from '../../core/search/finder';
import type { StoredPhrase } from '../../storage/types';
import { useActions, useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { beginPhrase } from '../frame/begin-phrase';
import { useBackup } from '../frame/export/use-backup';
import { useExport } from '../frame/export/use-export';
import { addSamples, removePhrases } from '../frame/keep-and-remove';
import { addressOf, type RouteOf } from '../frame/route';
import { useLike, useSearch } from '../frame/search/use-search';
import { navigate } from '../frame/use-route';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { count } from '../shared/words';
import { ChoiceBar } from './choice-bar';
import { FirstVisit } from './first-visit';
import { chooseFiles } from './import/choose-files';
import { ImportReport } from './import/import-report';
import './library.css';
import { libraryActions } from './library-actions';
import { type LibraryView, readView, writeView } from './library-query';
import { PhraseList } from './phrase-list';
import { useFacts } from './use-facts';

/** What the first page does not need to show its first scores. */
const FilterPanel = partOnDemand(
  onDemand('What finds and orders', () => import('./filter-panel').then((m) => m.FilterPanel)),
  <div className="filter-waiting" />,
);
const lessons = onDemand('What makes lessons', () =>
  import('../frame/make-lesson').then((m) => m.makeLesson),
);
const TwinsList = partOnDemand(
  onDemand('The list of twins', () => import('./twins-list').then((m) => m.TwinsList)),
);
const DamagedList = partOnDemand(
  onDemand('The list of damaged records', () =>
    import('./damaged-list').then((m) => m.DamagedList),
  ),
);

/** `#/`: find, order, choose, bring in, export. */
export function LibraryPage({ route }: { readonly route: RouteOf<'library'> }) {
  usePageTitle('Library');
  const { firstStart } = useApp();
  const { state, phrases, problems, progress, persisted, lasting } = useLibrary();
  const begins = useSyncExternalStore(firstStart.subscribe, firstStart.pending);
  const opening = state === 'opening' || state === 'blocked';
  if (opening || (begins && phrases.length === 0)) {
    return (
      <section className="page">
        <h1>Library</h1>
        <p role="status">{opening ? 'Opening the library …' : 'Laying in the samples …'}</p>
        {progress !== null && (
          <progress max={progress.total} value={progress.done} aria-label="Phrases read" />
        )}
      </section>
    );
  }
  return (
    <section className="page library">
      <Shelves phrases={phrases} route={route}>
        {problems.length > 0 && <DamagedList problems={problems} />}
      </Shelves>
      {persisted === false && lasting && <MayBeCleared />}
    </section>
  );
}

/** The browser has promised nothing. */
function MayBeCleared() {
  const { open, dialog } = useBackup();
  return (
    <>
      <p className="quiet">
        This browser may clear the library when space on the device runs low.{' '}
        <button type="button" onClick={open}>
          Back up the library …
        </button>
      </p>
      {dialog}
    </>
  );
}

const NOTHING: ReadonlySet<string> = new Set();

function Shelves({
  phrases,
  route,
  children,
}: {
  readonly phrases: readonly StoredPhrase[];
  readonly route: RouteOf<'library'>;
  /** Stands before the phrases, where it is not overlooked. */
  readonly children: ReactNode;
}) {
  const app = useApp();
  const { facts, reading } = useFacts(phrases);
  // Who has nothing but what came along begins with what is easy on a guitar.
  const onlySamples = useMemo(() => phrases.every((s) => s.sample), [phrases]);
  const usual: LibraryOrder = onlySamples ? 'begin' : LIBRARY_ORDERS[0];
  const view = useMemo(() => readView(route.query, usual), [route.query, usual]);
  const choices = useMemo(() => choicesOf(facts), [facts]);
  // Typing shows at once; the list follows when it can.
  const looked = useDeferredValue(view);
  const [begun, setBegun] = useState(false);
  const search = useSearch(view.filter.words, view.order, begun);
  const { answer } = search;
  const narrowed = useMemo(
    () => sortPhrases(filterPhrases(facts, looked.filter), looked.order),
    [facts, looked],
  );
  const like = useLike(view.filter.like);
  const found = useMemo(() => {
    if (view.filter.like !== '') return likest(like, answer, narrowed);
    if (answer === null) return search.waiting && !begun ? [] : narrowed;
    const byId = new Map(narrowed.map((f) => [f.id, f]));
    return answer.ids.flatMap((id) => byId.get(id) ?? []);
  }, [answer, narrowed, search.waiting, begun, view.filter.like, like]);
  const seeking = search.waiting || (view.filter.like !== '' && like === null);
  const [chosenIds, setChosen] = useState(NOTHING);
  const { open: openExport, dialog } = useExport();
  const { open: backUp, dialog: backup } = useBackup();
  const byId = useMemo(() => new Map(phrases.map((s) => [s.id, s])), [phrases]);
  const chosen = useMemo(() => inOrder(found, facts, chosenIds), [found, facts, chosenIds]);
  const choose = useCallback((id: string, on: boolean) => {
    setChosen((before) => {
      const next = new Set(before);
      if (on) next.add(id);
      else next.delete(id);
      return next;
    });
  }, []);
  const show = useCallback(
    (next: LibraryView) => {
      navigate({ page: 'library', query: writeView(next, usual) }, 'replace');
    },
    [usual],
  );
  const exportIds = useCallback(
    (ids: readonly string[]) => openExport(ids.flatMap((id) => byId.get(id)?.phrase ?? [])),
    [byId, openExport],
  );
  const makeLesson = useCallback(
    (ids: readonly string[]) => {
      const phrases = ids.flatMap((id) => byId.get(id)?.phrase ?? []);
      lessons.get().then(
        (make) => void make(app, phrases),
        (reason: Error) => app.notices.trouble(reason.message),
      );
    },
    [app, byId],
  );
  const remove = useCallback(
    (ids: readonly string[]) => {
      setChosen(NOTHING);
      void removePhrases(app, ids);
    },
    [app],
  );
  useActions(
    useMemo(
      () =>
        libraryActions({
          app,
          view,
          show,
          found: found.map((f) => f.id),
          chosen,
          exportIds,
          makeLesson,
          backUp,
          remove,
          setChosen: (ids) => setChosen(new Set(ids)),
          hasSamples: phrases.some((s) => s.sample),
        }),
      [app, view, show, found, chosen, exportIds, makeLesson, backUp, remove, phrases],
    ),
  );
  const begin = useCallback(() => setBegun(true), []);
  const bringIn = () => void chooseFiles().then((files) => app.importer.take(files));
  return (
    <>
      <div className="library-head">
        <h1>Library</h1>
        <p role="status" className="quiet">
          {seeking ? 'Looking …' : tally(found.length, phrases.length, isNoFilter(looked.filter))}
        </p>
        <button type="button" onClick={() => void beginPhrase(app)}>
          Write a new phrase
        </button>
        <button type="button" onClick={bringIn}>
          Bring phrases in …
        </button>
        <a className="button" href="#/solo">
          Solo over a form
        </a>
        <a className="button" href="#/lessons">
          Lessons
        </a>
        <a className="button" href="#/catch">
          Catch it
        </a>
      </div>
      {onlySamples && phrases.length > 0 && <FirstVisit />}
      <ImportReport />
      {children}
      {phrases.length === 0 ? (
        <Empty bringIn={bringIn} addSamples={() => void addSamples(app)} />
      ) : (
        <>
          <FilterPanel
            view={view}
            choices={choices}
            search={search}
            onChange={show}
            onBegin={begin}
          />
          {view.filter.like !== '' && (
            <p className="like-what">
              Like <b>{titleIn(byId, view.filter.like)}</b>, the likest first, in any key.{' '}
              <a href={addressOf({ page: 'phrase', id: view.filter.like, query: {} })}>See it</a>{' '}
              <button
                type="button"
                onClick={() => show({ ...view, filter: { ...view.filter, like: '' } })}
              >
                Leave that
              </button>
            </p>
          )}
          {route.query.twins !== undefined && <TwinsList byId={byId} remove={remove} />}
          {(reading ?? search.reading) !== null && <Reading {...(reading ?? search.reading)!} />}
          {found.length === 0 && reading === null && search.reading === null && !seeking ? (
            <div className="nothing-found">
              <p>No phrase has all of this.</p>
              <button type="button" onClick={() => show({ ...view, filter: NO_FILTER })}>
                Show all again
              </button>
            </div>
          ) : (
            <PhraseList
              found={found}
              byId={byId}
              chosen={chosenIds}
              asked={answer?.asked ?? null}
              onChoose={choose}
            />
          )}
          <ChoiceBar
            chosen={chosen}
            onLesson={() => makeLesson(chosen)}
            onExport={() => exportIds(chosen)}
            onRemove={() => remove(chosen)}
            onClear={() => setChosen(NOTHING)}
          />
        </>
      )}
      {dialog}
      {backup}
    </>
  );
}

/** How far reading has come, of what is shown or of what finds. */
function Reading({ done, total }: { readonly done: number; readonly total: number }) {
  return (
    <p className="quiet">
      Reading the phrases: {done} of {total}{' '}
      <progress max={total} value={done} aria-label="Phrases read" />
    </p>
  );
}

function tally(found: number, all: number, everything: boolean): string {
  return everything ? count(all, 'phrase') : `${found} of ${count(all, 'phrase')}`;
}

function likest(
  like: readonly LikeOne[] | null,
  answer: Answered | null,
  narrowed: readonly PhraseFacts[],
): readonly PhraseFacts[] {
  if (like === null) return [];
  const byId = new Map(narrowed.map((f) => [f.id, f]));
  const asked = answer === null ? null : new Set(answer.ids);
  return like.flatMap(({ id }) => (asked?.has(id) === false ? [] : (byId.get(id) ?? [])));
}

function titleIn(byId: ReadonlyMap<string, StoredPhrase>, id: string): string {
  const title = byId.get(id)?.phrase.meta.title ?? 'a phrase that is gone';
  return title.trim() === '' ? 'Untitled' : title;
}

/** The chosen ids as they are shown, those that are filtered out last. */
function inOrder(
  found: readonly PhraseFacts[],
  all: readonly PhraseFacts[],
  chosen: ReadonlySet<string>,
): readonly string[] {
  if (chosen.size === 0) return [];
  const ids = [...found, ...all].map((f) => f.id).filter((id) => chosen.has(id));
  return [...new Set(ids)];
}

function Empty(props: { readonly bringIn: () => void; readonly addSamples: () => void }) {
  return (
    <div className="empty">
      <p>There is no phrase here yet.</p>
      <p>
        Bring some in: files of this program, MusicXML, packed MusicXML or MIDI. You can also drop
        them anywhere on the page. Or begin with the samples that come along.
      </p>
      <p className="buttons">
        <button type="button" className="primary" onClick={props.bringIn}>
          Bring phrases in …
        </button>
        <button type="button" onClick={props.addSamples}>
          Lay in the samples
        </button>
      </p>
    </div>
  );
}
