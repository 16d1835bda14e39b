import { type ReactNode, useEffect, useMemo, useSyncExternalStore } from 'react';
import { isNoFilter, NO_FILTER } from '../../core/library/filter';
import type { Front, LibraryState, PhraseEntry } from '../../storage/types';
import { type App, useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { beginPhrase } from '../frame/begin-phrase';
import { useBackup } from '../frame/export/use-backup';
import { keepOrRemove } from '../frame/keeping';
import { OpeningLibrary } from '../frame/opening-library';
import { addressOf, type RouteOf } from '../frame/route';
import { behindFirstScore, noScoreAwaited } from '../score/first-score';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';
import { useKept } from '../shared/use-kept';
import { count } from '../shared/words';
import { firstSight } from './first-sight';
import { FirstVisit } from './first-visit';
import { chooseFiles } from './import/choose-files';
import { ImportReport } from './import/import-report';
import './library.css';
import { LibraryHead } from './library-head';
import { type Entries, PhraseList } from './phrase-list';
import { type Asked, useAsked } from './use-asked';
import { type Choice, useChoice } from './use-choice';

/** What the first page does not need to show its first scores. */
const ChoiceBar = partOnDemand(
  onDemand('What is done with the chosen', () => import('./choice-bar').then((m) => m.ChoiceBar)),
);
const FilterPanel = partOnDemand(
  onDemand('What finds and orders', () =>
    behindFirstScore(() => import('./filter-panel').then((m) => m.FilterPanel)),
  ),
  <div className="filter-waiting" />,
);
const LineList = partOnDemand(
  onDemand('The list of lines', () => import('./line-list').then((m) => m.LineList)),
);
const NothingFound = partOnDemand(
  onDemand('What to ask instead', () => import('./nothing-found').then((m) => m.NothingFound)),
);
const TwinsList = partOnDemand(
  onDemand('The list of twins', () => import('./twins-list').then((m) => m.TwinsList)),
);
const DamagedList = partOnDemand(
  onDemand('The list of damaged records', () =>
    import('./damaged-list').then((m) => m.DamagedList),
  ),
);

const FolderLine = partOnDemand(
  onDemand('What keeps a folder in step', () =>
    behindFirstScore(() => import('../frame/folder/folder-line').then((m) => m.FolderLine)),
  ),
);

const ShelfActions = partOnDemand(
  onDemand('What is listed of the library', () =>
    behindFirstScore(() => import('./shelf-actions').then((m) => m.ShelfActions)),
  ),
  null,
  null,
);

/** `#/`: find, order, choose, bring in, export. */
export function LibraryPage({ route }: { readonly route: RouteOf<'library'> }) {
  usePageTitle('Library');
  const { firstStart } = useApp();
  const { state, phrases, front, problems, persisted, lasting } = useLibrary();
  const begins = useSyncExternalStore(firstStart.subscribe, firstStart.pending);
  const opening = state === 'opening' || state === 'blocked';
  if (opening ? front === null : begins && phrases.length === 0) {
    return firstSight === null ? (
      // Another element than the library's: what is reused would count as moved.
      <section className="page" key="waiting">
        <h1>Library</h1>
        {opening ? <OpeningLibrary /> : <p role="status">Laying in the samples …</p>}
      </section>
    ) : (
      <FirstPage>{opening ? 'Opening the library …' : 'Laying in the samples …'}</FirstPage>
    );
  }
  return (
    <section className="page library">
      <Shelves phrases={phrases} front={opening ? front : null} route={route}>
        {problems.length > 0 && <DamagedList problems={problems} />}
      </Shelves>
      <p className="library-foot">
        <a href={addressOf({ page: 'tags', query: {} })}>Rename and merge tags</a>{' '}
        <a href={addressOf({ page: 'removed', query: {} })}>What was removed</a>
      </p>
      {lasting && !opening && <FolderLine />}
      {persisted === false && lasting && <MayBeCleared />}
    </section>
  );
}

/** What stood in the page before the program came, at the same place, while a first library opens. */
function FirstPage({ children }: { readonly children: ReactNode }) {
  const app = useApp();
  return (
    <section className="page library" key="waiting">
      <LibraryHead begin={() => void beginPhrase(app)} bringIn={() => bringIn(app)}>
        {children}
      </LibraryHead>
      <FirstVisit />
    </section>
  );
}

const bringIn = (app: App) => void chooseFiles().then((files) => app.importer.take(files));

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

/** States in which nobody knows what is in the library. */
const SHUT: ReadonlySet<LibraryState> = new Set(['blocked', 'outdated', 'failed', 'closed']);

function Shelves({
  phrases,
  front,
  route,
  children,
}: {
  readonly phrases: readonly PhraseEntry[];
  /** How the list begins, while the library opens. */
  readonly front: Front | null;
  readonly route: RouteOf<'library'>;
  /** Stands before the phrases, where it is not overlooked. */
  readonly children: ReactNode;
}) {
  const app = useApp();
  const opening = front !== null;
  const total = front?.total ?? phrases.length;
  // What could not be opened is not said to be empty.
  const { state } = useLibrary();
  const shut = total === 0 && SHUT.has(state);
  const asked = useAsked(phrases, opening, route);
  const { facts, found, seeking, looked, search, onlySamples } = asked;
  const byId = useEntries(phrases, front);
  const choice = useChoice(facts, found);
  const hasSamples = useMemo(() => phrases.some((s) => s.sample), [phrases]);
  const { open: backUp, dialog: backup } = useBackup();
  return (
    <>
      <LibraryHead begin={() => void beginPhrase(app)} bringIn={() => bringIn(app)}>
        {seeking ? 'Looking …' : shut ? '' : tally(found.length, total, isNoFilter(looked.filter))}
        {search.reading !== null && !seeking && ' so far'}
      </LibraryHead>
      {onlySamples && total > 0 && <FirstVisit />}
      <ImportReport />
      {children}
      {shut ? null : total === 0 ? (
        <Empty
          bringIn={() => bringIn(app)}
          addSamples={() => void keepOrRemove(app, (k) => k.addSamples(app))}
        />
      ) : (
        <Found asked={asked} choice={choice} byId={byId} twins={route.query.twins !== undefined} />
      )}
      {!opening && (
        <ShelfActions
          view={asked.view}
          show={asked.show}
          found={found}
          chosen={choice.chosen}
          exportIds={choice.exportIds}
          order={choice.order}
          makeLesson={choice.makeLesson}
          backUp={backUp}
          remove={choice.remove}
          setChosen={choice.setChosen}
          hasSamples={hasSamples}
        />
      )}
      {choice.dialogs}
      {backup}
    </>
  );
}

/** Phrases by their ids; another object whenever the list is another. */
function useEntries(phrases: readonly PhraseEntry[], front: Front | null): Entries {
  const { store } = useApp();
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when the library changes.
  return useMemo(() => {
    if (front !== null) return new Map(front.phrases.map((s) => [s.id, s]));
    return { get: (id) => store.phrase(id) ?? undefined };
  }, [phrases, front, store]);
}

/** What is asked, what was found, and what to do with what is chosen of it. */
function Found(props: {
  readonly asked: Asked;
  readonly choice: Choice;
  readonly byId: Entries;
  readonly twins: boolean;
}) {
  const { asked, choice, byId, twins } = props;
  const { found, view, show, choices, search, reading, seeking, begin } = asked;
  const { chosen, remove, setChosen } = choice;
  const { like } = view.filter;
  const read = reading ?? search.reading;
  const [lines, setLines] = useKept(AS_LINES, false);
  const nothing = found.length === 0 && read === null && !seeking;
  // Who comes with a question, or sees no score, has the panel at once.
  const atOnce = lines || nothing || !isNoFilter(view.filter);
  useEffect(() => {
    if (atOnce) noScoreAwaited();
  }, [atOnce]);
  return (
    <>
      <FilterPanel
        view={view}
        usual={asked.usual}
        choices={choices}
        search={search}
        onChange={show}
        onBegin={begin}
        many={seeking ? 0 : found.length}
        allChosen={choice.shown === found.length}
        onChooseAll={() => setChosen([...chosen, ...found.ids()])}
        lines={lines}
        onLines={setLines}
      />
      {like !== '' && (
        <p className="like-what">
          Like <b>{titleIn(byId, like)}</b>, the likest first, in any key.{' '}
          <a href={addressOf({ page: 'phrase', id: like, query: {} })}>See it</a>{' '}
          <button
            type="button"
            onClick={() => show({ ...view, filter: { ...view.filter, like: '' } })}
          >
            Leave that
          </button>
        </p>
      )}
      {twins && <TwinsList byId={byId} />}
      {read !== null && <Reading {...read} />}
      {nothing ? (
        <NothingFound
          text={view.filter.words}
          onAsk={(words) => show({ ...view, filter: { ...view.filter, words } })}
          onAll={() => show({ ...view, filter: NO_FILTER })}
        />
      ) : (
        <FoundList
          lines={lines}
          found={found}
          byId={byId}
          chosen={choice.ids}
          asked={search.answer?.asked ?? null}
          onChoose={choice.choose}
        />
      )}
      {chosen.length > 0 && (
        <ChoiceBar
          chosen={chosen}
          onOrder={() => choice.order(chosen)}
          onLesson={() => choice.makeLesson(chosen)}
          onExport={() => choice.exportIds(chosen)}
          onRemove={() => remove(chosen)}
          onClear={() => setChosen([])}
        />
      )}
    </>
  );
}

/** Kept on this device: whether phrases are shown as lines. */
const AS_LINES = 'degreewise.library-as-lines';

/** What was found, as cards with music or as lines. */
function FoundList({
  lines,
  ...list
}: Parameters<typeof PhraseList>[0] & { readonly lines: boolean }) {
  if (!lines) return <PhraseList {...list} />;
  return <LineList {...list} />;
}

/** How far reading has come, of what is shown or of what finds. */
function Reading({ done, total }: { readonly done: number; readonly total: number }) {
  return (
    <p className="quiet reading-phrases">
      Reading the phrases: {done} of {total}{' '}
      <progress max={total} value={done} aria-label="Phrases read" />
    </p>
  );
}

function tally(found: number, all: number, everything: boolean): string {
  return everything ? count(all, 'phrase') : `${found} of ${count(all, 'phrase')}`;
}

function titleIn(byId: Entries, id: string): string {
  const title = byId.get(id)?.identity.title ?? 'a phrase that is gone';
  return title.trim() === '' ? 'Untitled' : title;
}

function Empty(props: { readonly bringIn: () => void; readonly addSamples: () => void }) {
  const app = useApp();
  return (
    <div className="empty">
      <p>There is no phrase here yet.</p>
      <p>
        Bring some in: files of this program, MusicXML, MIDI, tablature or quick text. You can also
        drop them anywhere on the page. Or write one, or begin with the samples that come along.
      </p>
      <p className="buttons">
        <button type="button" className="primary" onClick={props.bringIn}>
          Bring phrases in …
        </button>
        <button type="button" onClick={() => void beginPhrase(app)}>
          Write a phrase
        </button>
        <button type="button" onClick={props.addSamples}>
          Lay in the samples
        </button>
      </p>
    </div>
  );
}
