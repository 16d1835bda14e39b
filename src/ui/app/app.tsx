import { useEffect, useMemo, useRef, useState } from 'react';
import type { Action } from '../frame/actions';
import { DropZone } from '../library/import/drop-zone';
import { ActionList } from './action-list';
import './app.css';
import { useActions, useApp, useLibrary } from '../frame/app-context';
import { addressOf, type PageName, type Route } from '../frame/route';
import { navigate, useRoute } from '../frame/use-route';
import { waysOn } from '../frame/ways-on';
import { FrameHead, LIBRARY } from './frame-head';
import { LibraryStatus } from './library-status';
import { NoticeList } from './notice-list';
import { PageGuard } from './page-guard';
import { CurrentPage } from './pages';

/** The frame around every page: where one is, the way back, what can be done, what happened. */
export function AppFrame() {
  const route = useRoute();
  const [listOpen, setListOpen] = useState(false);
  const openList = useMemo(() => () => setListOpen(true), []);
  const main = useRef<HTMLElement>(null);
  const place = placeOf(route);
  useFocusOnNewPlace(main, place);
  useActions(GO);
  useWaysOn(route.page);
  return (
    <>
      <button type="button" className="skip" onClick={() => main.current?.focus()}>
        To the page
      </button>
      <FrameHead atLibrary={route.page === 'library'} openList={openList} />
      <LibraryStatus />
      <main ref={main} id="main" tabIndex={-1}>
        <PageGuard place={place}>
          <CurrentPage route={route} />
        </PageGuard>
      </main>
      <NoticeList />
      <DropZone />
      <ActionList open={listOpen} onOpen={openList} onClose={() => setListOpen(false)} />
    </>
  );
}

const GO: readonly Action[] = [
  {
    id: 'app.library',
    title: 'Go to the library',
    group: 'Anywhere',
    words: 'back home list phrases',
    run: () => navigate(LIBRARY),
  },
  {
    id: 'app.keys',
    title: 'Show what every key does',
    group: 'Anywhere',
    words: 'help shortcuts keyboard',
    run: () => navigate({ page: 'keys', query: {} }),
  },
  {
    id: 'app.back',
    title: 'Go back to where I was',
    group: 'Anywhere',
    run: () => window.history.back(),
  },
];

const NONE: readonly Action[] = [];

/**
 * What begins or stands elsewhere: there at once, as soon as the library is open, since a new phrase is
 * asked for without looking. Where a phrase is written it is said there how one goes on.
 */
function useWaysOn(page: PageName): void {
  const app = useApp();
  const { state } = useLibrary();
  const hasWays = page !== 'write' && state !== 'opening' && state !== 'blocked';
  useActions(useMemo(() => (hasWays ? waysOn(app, page) : NONE), [hasWays, app, page]));
}

/** A place without what is chosen on it. */
function placeOf(route: Route): string {
  return route.page === 'unknown' ? route.address : addressOf({ ...route, query: {} });
}

/** Going to another place moves the focus to it, as loading a page would. */
function useFocusOnNewPlace(main: { readonly current: HTMLElement | null }, place: string): void {
  const before = useRef(place);
  useEffect(() => {
    if (before.current === place) return;
    before.current = place;
    // A page that is made for typing says where that begins.
    const first = main.current?.querySelector<HTMLElement>('[data-first-focus]');
    (first ?? main.current)?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }, [main, place]);
}
