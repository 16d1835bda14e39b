import { type ComponentType, lazy } from 'react';
import { fetchExport } from '../frame/export/use-export';
import type { PageName, Route, RouteOf } from '../frame/route';
import { LibraryPage } from '../library/library-page';
import { fetchNeck } from '../write/parts/fetch-neck';
import { fetchActionDialog } from './action-list';
import { UnknownPage } from './unknown-page';

type Page<P extends PageName> = ComponentType<{ readonly route: RouteOf<P> }>;

/** The first page comes with the app; the others are fetched when there is time, or when asked for. */
const FETCH = {
  phrase: () => import('../phrase/phrase-page').then((m) => ({ default: m.PhrasePage })),
  write: () => import('../write/write-page').then((m) => ({ default: m.WritePage })),
  keys: () => import('../help/keys-page').then((m) => ({ default: m.KeysPage })),
  move: () => import('../move/move-page').then((m) => ({ default: m.MovePage })),
  compare: () => import('../compare/compare-page').then((m) => ({ default: m.ComparePage })),
  print: () => import('../print/print-page').then((m) => ({ default: m.PrintPage })),
};

const PAGES: { readonly [P in PageName]: Page<P> } = {
  library: LibraryPage,
  phrase: lazy(FETCH.phrase),
  write: lazy(FETCH.write),
  keys: lazy(FETCH.keys),
  move: lazy(FETCH.move),
  compare: lazy(FETCH.compare),
  print: lazy(FETCH.print),
  unknown: UnknownPage,
};

/** Shows the page of a place. */
export function CurrentPage({ route }: { readonly route: Route }) {
  // The table pairs each place with the page for it, which the compiler cannot follow.
  const Page = PAGES[route.page] as ComponentType<{ readonly route: Route }>;
  return <Page route={route} />;
}

/** Fetches every page, the export, the neck and the list of actions ahead, so that none is missing later: offline, or after an update. */
export async function fetchPages(): Promise<void> {
  const pages = Object.values(FETCH).map((fetchPage) => fetchPage());
  await Promise.all([...pages, fetchExport(), fetchNeck(), fetchActionDialog()]);
}
