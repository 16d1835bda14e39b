import type { ComponentType } from 'react';
import type { PageName, Route, RouteOf } from '../frame/route';
import { LibraryPage } from '../library/library-page';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';

type Page<P extends PageName> = ComponentType<{ readonly route: RouteOf<P> }>;

/** The first page comes with the app; the others are fetched when there is time, or when asked for. */
function later<P extends PageName>(what: string, load: () => Promise<Page<P>>): Page<P> {
  return partOnDemand(onDemand(what, load), <p className="page quiet">One moment …</p>);
}

const PAGES: { readonly [P in PageName]: Page<P> } = {
  library: LibraryPage,
  phrase: later<'phrase'>('The page of the phrase', () =>
    import('../phrase/phrase-page').then((m) => m.PhrasePage),
  ),
  write: later<'write'>('The page for writing', () =>
    import('../write/write-page').then((m) => m.WritePage),
  ),
  keys: later<'keys'>('The page of the keys', () =>
    import('../help/keys-page').then((m) => m.KeysPage),
  ),
  move: later<'move'>('The page for moving', () =>
    import('../move/move-page').then((m) => m.MovePage),
  ),
  vary: later<'vary'>('The page for varying', () =>
    import('../vary/vary-page').then((m) => m.VaryPage),
  ),
  cut: later<'cut'>('The page that cuts', () => import('../cut/cut-page').then((m) => m.CutPage)),
  versions: later<'versions'>('The page of earlier versions', () =>
    import('../compare/versions-page').then((m) => m.VersionsPage),
  ),
  past: later<'past'>('The page of earlier versions', () =>
    import('../compare/past-page').then((m) => m.PastPage),
  ),
  compare: later<'compare'>('The page for comparing', () =>
    import('../compare/compare-page').then((m) => m.ComparePage),
  ),
  print: later<'print'>('The page for paper', () =>
    import('../print/print-page').then((m) => m.PrintPage),
  ),
  solo: later<'solo'>('The page for solos', () =>
    import('../solo/solo-page').then((m) => m.SoloPage),
  ),
  lessons: later<'lessons'>('The page of the lessons', () =>
    import('../lesson/lessons-page').then((m) => m.LessonsPage),
  ),
  lesson: later<'lesson'>('The page of the lesson', () =>
    import('../lesson/lesson-page').then((m) => m.LessonPage),
  ),
  plan: later<'plan'>('The page of the plan', () =>
    import('../lesson/plan/plan-page').then((m) => m.PlanPage),
  ),
  collections: later<'collections'>('The page of the collections', () =>
    import('../collection/collections-page').then((m) => m.CollectionsPage),
  ),
  collection: later<'collection'>('The page of the collection', () =>
    import('../collection/collection-page').then((m) => m.CollectionPage),
  ),
  tags: later<'tags'>('The page of the tags', () =>
    import('../library/tags/tags-page').then((m) => m.TagsPage),
  ),
  removed: later<'removed'>('The page of what was removed', () =>
    import('../removed/removed-page').then((m) => m.RemovedPage),
  ),
  given: later<'given'>('The page of what was given', () =>
    import('../give/given-page').then((m) => m.GivenPage),
  ),
  catch: later<'catch'>('The page that listens', () =>
    import('../catch/catch-page').then((m) => m.CatchPage),
  ),
  unknown: later<'unknown'>('The page for other addresses', () =>
    import('./unknown-page').then((m) => m.UnknownPage),
  ),
};

/** Shows the page of a place. */
export function CurrentPage({ route }: { readonly route: Route }) {
  // The table pairs each place with the page for it, which the compiler cannot follow.
  const Page = PAGES[route.page] as ComponentType<{ readonly route: Route }>;
  return <Page route={route} />;
}
