import { NO_FILTER } from '../../core/library/filter';
import { LIBRARY_ORDERS } from '../../core/library/sort';
import type { Action } from '../frame/actions';
import type { App } from '../frame/app-context';
import { canBringBack, keepOrRemove } from '../frame/keeping';
import { navigate } from '../frame/use-route';
import { count } from '../shared/words';
import { focusOnce } from './focus-once';
import type { FoundPhrases } from './found-phrases';
import { chooseFiles } from './import/choose-files';
import { laidOnForm, MOST_LAID } from './lay-on-form';
import { inOrder, type LibraryView } from './library-query';
import { ORDER_WORDS } from './order-words';

/** The page that the actions are of. */
export interface ShelfParts {
  readonly view: LibraryView;
  readonly show: (view: LibraryView) => void;
  /** What is shown, in order. */
  readonly found: FoundPhrases;
  readonly chosen: readonly string[];
  readonly exportIds: (ids: readonly string[]) => void;
  readonly order: (ids: readonly string[]) => void;
  readonly makeLesson: (ids: readonly string[]) => void;
  readonly backUp: () => void;
  readonly remove: (ids: readonly string[]) => void;
  readonly setChosen: (ids: readonly string[]) => void;
  readonly hasSamples: boolean;
}

interface Parts extends ShelfParts {
  readonly app: App;
}

/** Everything that can be done on the library page. */
export function libraryActions(p: Parts): readonly Action[] {
  return [
    bringIn(p.app),
    ...withTheList(p),
    ...withTheChosen(p),
    bringBack(p.app),
    ...withTheSamples(p),
  ];
}

/** Files come in on this page, where what became of each is told. */
function bringIn(app: App): Action {
  return {
    id: 'library.import',
    title: 'Bring phrases in from files',
    group: 'Library',
    words: 'import open load musicxml mxl json backup restore',
    run: () => void chooseFiles().then((files) => app.importer.take(files)),
  };
}

/** What is asked of the list, and what is done with all that it shows. */
function withTheList({
  view,
  show,
  found,
  exportIds,
  backUp,
  setChosen,
}: Parts): readonly Action[] {
  const noneFound = found.length === 0 ? { blocked: 'No phrase is shown.' } : {};
  return [
    {
      id: 'library.find',
      title: 'Find a phrase',
      group: 'Library',
      words: 'search look filter',
      run: () => focusOnce('find'),
    },
    {
      id: 'library.all',
      title: 'Show all phrases again',
      group: 'Library',
      words: 'clear filter reset',
      run: () => show({ ...view, filter: NO_FILTER }),
    },
    ...LIBRARY_ORDERS.map((order) => ({
      id: `library.order.${order}`,
      title: `Put them in order: ${ORDER_WORDS[order]}`,
      group: 'Library',
      words: 'sort',
      run: () => show(inOrder(view, order)),
    })),
    {
      id: 'library.export-shown',
      title: `Export all that are shown (${found.length})`,
      group: 'Library',
      words: 'save download print',
      ...noneFound,
      run: () => exportIds(found.ids()),
    },
    {
      id: 'library.backup',
      title: 'Back up the whole library',
      group: 'Library',
      words: 'backup save download copy everything forms lessons',
      run: backUp,
    },
    {
      id: 'library.choose-shown',
      title: 'Choose all that are shown',
      group: 'Library',
      words: 'select',
      ...noneFound,
      run: () => setChosen(found.ids()),
    },
    {
      id: 'library.twins',
      title: 'Show what is here twice, in any key',
      group: 'Library',
      words: 'duplicates double same alike merge',
      run: () => navigate({ page: 'library', query: { twins: 'yes' } }),
    },
  ];
}

/** What is done with the phrases that are chosen. */
function withTheChosen({ chosen, order, makeLesson, exportIds, remove }: Parts): readonly Action[] {
  const [a, b] = chosen;
  const noneChosen = chosen.length === 0 ? { blocked: 'Choose phrases first.' } : {};
  return [
    {
      id: 'chosen.like',
      title: 'Find more like the chosen phrase',
      group: 'Chosen phrases',
      words: 'similar alike',
      ...(chosen.length === 1 ? {} : { blocked: 'Choose one phrase first.' }),
      run: () => {
        if (a !== undefined) navigate({ page: 'library', query: { like: a } });
      },
    },
    {
      id: 'chosen.compare',
      title: 'Compare the two chosen phrases',
      group: 'Chosen phrases',
      ...(chosen.length === 2 ? {} : { blocked: 'Choose two phrases first.' }),
      run: () => {
        if (a !== undefined && b !== undefined) navigate({ page: 'compare', a, b, query: {} });
      },
    },
    {
      id: 'chosen.order',
      title: 'Put the chosen phrases in order: collection, lesson, tags, level, used on',
      group: 'Chosen phrases',
      words: 'add edit bulk several tag collect mark used today',
      ...noneChosen,
      run: () => order(chosen),
    },
    {
      id: 'chosen.lesson',
      title: 'Make a lesson of the chosen phrases',
      group: 'Chosen phrases',
      words: 'students handout homework page',
      ...noneChosen,
      run: () => makeLesson(chosen),
    },
    {
      id: 'chosen.solo',
      title: 'Lay the chosen phrases on a song form, and fill the rest',
      group: 'Chosen phrases',
      words: 'solo chorus blues bars propose',
      ...noneChosen,
      ...(chosen.length > MOST_LAID ? { blocked: `Choose ${MOST_LAID} phrases at most.` } : {}),
      run: () => navigate(laidOnForm(chosen)),
    },
    {
      id: 'chosen.export',
      title: 'Export the chosen phrases',
      group: 'Chosen phrases',
      words: 'save download',
      ...noneChosen,
      run: () => exportIds(chosen),
    },
    {
      id: 'chosen.remove',
      title: `Remove ${chosen.length === 0 ? 'the chosen phrases' : count(chosen.length, 'chosen phrase')}`,
      group: 'Chosen phrases',
      words: 'delete',
      ...noneChosen,
      run: () => remove(chosen),
    },
  ];
}

function bringBack(app: App): Action {
  return {
    id: 'library.bring-back',
    title: 'Bring back what was removed last',
    group: 'Library',
    words: 'undo restore delete trash',
    why: () => (canBringBack() ? null : 'Nothing was removed in this window.'),
    run: () => void keepOrRemove(app, (k) => k.bringBackLast(app)),
  };
}

function withTheSamples({ app, hasSamples }: Parts): readonly Action[] {
  return [
    {
      id: 'samples.remove',
      title: 'Remove the samples',
      group: 'Samples',
      words: 'delete demo examples',
      ...(hasSamples ? {} : { blocked: 'No unchanged sample is here.' }),
      run: () => void keepOrRemove(app, (k) => k.removeSamples(app)),
    },
    {
      id: 'samples.add',
      title: 'Lay the samples in again',
      group: 'Samples',
      words: 'restore demo examples',
      run: () => void keepOrRemove(app, (k) => k.addSamples(app)),
    },
  ];
}
