import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { openLibrary, queueFor, takeUpLeftBehind, watchPage } from '../storage/browser';
import type { HistoryStore } from '../storage/history-store';
import { historiesLater } from '../storage/later-histories';
import { localShelf } from '../storage/shelf';
import type { LibraryStore } from '../storage/types';
import { AppFrame } from './app/app';
import { createActionTable } from './frame/actions';
import { type App, AppContext } from './frame/app-context';
import { createFirstStart } from './frame/first-start';
import { keepKeysOnTheWay } from './frame/keys-ahead';
import { laterImporter } from './frame/later-importer';
import { newId } from './frame/new-id';
import { createNotices } from './frame/notices';
import { parseRoute } from './frame/route';
import { untouchedOn } from './frame/untouched';
import { loadEngraver } from './score/engraver';
import { noScoreAwaited } from './score/first-score';
import { atMost } from './shared/at-most';
import { fetchAhead, onDemand } from './shared/on-demand';
import './theme/theme.css';
import './theme/fonts.css';
import './theme/base.css';

const now = () => new Date().toISOString();

const importing = onDemand(
  'What brings files in',
  () => import('./library/import/worker-importer'),
);

const carrying = onDemand(
  'What keeps a folder in step',
  () => import('./frame/folder/keeper-of-app'),
);

const renewing = onDemand('What keeps the app at hand', () => import('./app/updates'));

const element = document.getElementById('app');
if (element === null) throw new Error('the page has no place for the app');
const root = createRoot(element);
// Before anything else follows the address: a page that is there at once is not waited for.
keepKeysOnTheWay(() => {
  const route = parseRoute(window.location.hash);
  return route.page === 'write' ? route.id : null;
});

function show(store: LibraryStore, histories: HistoryStore | null): App {
  const queue = queueFor(store);
  watchPage(store, queue);
  const importer = laterImporter(async () => (await importing.get()).workerImporter(store, now));
  const notices = createNotices();
  const actions = createActionTable();
  const firstStart = createFirstStart({ store, notices });
  const app: App = { store, queue, histories, notices, actions, importer, firstStart, newId, now };
  root.render(
    <StrictMode>
      <AppContext value={app}>
        <AppFrame />
      </AppContext>
    </StrictMode>,
  );
  return app;
}

/** Waits until the page has drawn what it has; what is not looked at yet comes after that. */
async function atRest(): Promise<void> {
  // What does not come is said by the first score that is shown; what hangs holds nothing up.
  await atMost(loadEngraver(), 5_000);
  // The first music goes before everything that is not looked at; an empty library has none. The line that
  // a first visit begins with was in the page.
  for (
    let waited = 0;
    waited < 3_000 && document.querySelector('main svg:not(.moved-phrase *)') === null;
    waited += 100
  ) {
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  noScoreAwaited();
  await new Promise<void>((resolve) => {
    // Some browsers do not say when they are idle.
    if (typeof requestIdleCallback === 'undefined') setTimeout(resolve, 200);
    else requestIdleCallback(() => resolve(), { timeout: 1_000 });
  });
}

async function sweep(app: App): Promise<void> {
  try {
    const { phraseHere, sweepUntouched } = await import('./frame/new-phrase');
    await sweepUntouched(app, localShelf(), phraseHere());
  } catch {
    // At the next start then.
  }
}

async function start(): Promise<void> {
  let app = show(openLibrary(), historiesLater());
  // On its way while the library opens.
  loadEngraver().catch(() => {
    // The first score that is shown says what is missing.
  });
  const state = await app.store.opened();
  if (state === 'unavailable') {
    const { createMemoryStore } = await import('../storage/memory');
    app = show(createMemoryStore({ newId, now: Date.now }), null);
  }
  if (state === 'ready') {
    await takeUpLeftBehind(app.store, app.queue);
    // New phrases that a closed window has left behind untouched; seldom any.
    if (untouchedOn(localShelf()).length > 0) void sweep(app);
  }
  await app.firstStart.run();
  // So that the next visit is not taken for the first.
  localShelf().write('degreewise.was-here', 'yes');
  await atRest();
  // Ahead of their use, so that none is missing without a network or after an update.
  await fetchAhead();
  // For those who measure.
  performance.mark('fetched ahead');
  await renewing.get().then(
    (m) => m.keepOffline(app),
    () => {
      // Without it the app works as long as there is a network; tried again at the next start.
    },
  );
  // On any page: what is saved goes to the folder, if one was chosen.
  if (state === 'ready') {
    carrying.get().then(
      (m) => m.keeperFor(app),
      () => {
        // At the next start then, or on the library page.
      },
    );
    // What was removed before the page was loaded cannot be brought back.
    await app.histories?.prune(new Set(app.store.snapshot().phrases.map((p) => p.id)));
    // What an older program kept beside the library.
    import('./frame/kept-twins')
      .then((m) => m.takeUpOlderPairs(app))
      .catch(() => {
        // At the next start then.
      });
    import('../storage/prune-left-over').then(
      (m) => m.pruneLeftOver(app.store, Date.now()),
      () => {
        // At the next start then.
      },
    );
  }
}

void start();
