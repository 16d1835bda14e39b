import { useMemo, useSyncExternalStore } from 'react';
import type { Lesson } from '../../core/lesson/types';
import { shownTitle } from '../../core/phrase/record';
import type { Phrase } from '../../core/phrase/types';
import { LESSONS } from '../../io/kinds/kinds';
import type { Action } from '../frame/actions';
import { type App, useActions, useApp } from '../frame/app-context';
import { today } from '../frame/around-library';
import type { Draft } from '../frame/draft';
import { editsOf, nextSteps, redoWords, undoWords, useHistory } from '../frame/edits';
import { removePhrases } from '../frame/keep-and-remove';
import { makeLesson } from '../frame/make-lesson';
import { orderTogether } from '../frame/order-together';
import { handingOut, placesOf } from '../frame/phrase-places';
import { navigate } from '../frame/use-route';

type Steps = ReturnType<typeof nextSteps>;

/** What can be done here, for the list of everything that can be done. */
export function usePhraseActions(draft: Draft, exportIt: () => void, give: () => void): void {
  const app = useApp();
  const { phrase } = draft;
  const { undo, redo } = nextSteps(useHistory(phrase.id));
  const lessons = useLastLessons(app);
  const actions = useMemo(
    () => [
      ...placesOf(phrase, GROUP),
      ...handingOut(GROUP, exportIt, give),
      {
        id: 'phrase.lesson',
        title: 'Make a lesson of it',
        group: GROUP,
        words: 'students handout homework page',
        run: () => void makeLesson(app, [phrase]),
      },
      ...lessons.map((l) => putInto(app, l, phrase.id)),
      {
        id: 'phrase.used',
        title: 'Mark it as used today',
        group: GROUP,
        words: 'taught played lesson date',
        run: () =>
          void orderTogether(app, [phrase.id], { into: null, change: {}, usedOn: today() }),
      },
      {
        id: 'phrase.remove',
        title: 'Remove it from the library',
        group: GROUP,
        words: 'delete throw away',
        run: () => {
          navigate({ page: 'library', query: {} });
          void removePhrases(app, [phrase.id]);
        },
      },
      ...steps(app, phrase.id, undo, redo),
    ],
    [app, phrase, undo, redo, exportIt, give, lessons],
  );
  useActions(actions);
}

const GROUP = 'This phrase';

/** Lessons that were changed last: a phrase goes into one of them without a list to choose from. */
const MOST_LESSONS = 6;

function useLastLessons(app: App): readonly Lesson[] {
  const all = useSyncExternalStore(
    (changed) => app.store.subscribe(changed),
    () => app.store.of(LESSONS).all(),
  );
  return useMemo(() => {
    const when = (l: Lesson) => l.meta.modified;
    return all
      .map((s) => s.value)
      .sort((a, b) => (when(a) < when(b) ? 1 : -1))
      .slice(0, MOST_LESSONS);
  }, [all]);
}

function putInto(app: App, { id, meta }: Lesson, phrase: string): Action {
  return {
    id: `phrase.lesson.${id}`,
    title: `Put it into the lesson “${shownTitle(meta)}”`,
    group: GROUP,
    words: 'add students handout homework page',
    run: () =>
      void orderTogether(app, [phrase], { into: null, lesson: id, change: {}, usedOn: null }),
  };
}

/** The last step back and forward, by what it was. */
function steps(
  app: App,
  id: Phrase['id'],
  undo: Steps['undo'],
  redo: Steps['redo'],
): readonly Action[] {
  const group = GROUP;
  return [
    {
      id: 'phrase.undo',
      title: undo === null ? 'Undo' : undoWords(undo),
      find: 'Undo',
      group,
      words: 'back',
      ...(undo === null ? { blocked: 'nothing to undo' } : {}),
      run: () => editsOf(app).undo(id),
    },
    {
      id: 'phrase.redo',
      title: redo === null ? 'Do again' : redoWords(redo),
      find: 'Do again',
      group,
      words: 'redo forward',
      ...(redo === null ? { blocked: 'nothing was undone' } : {}),
      run: () => editsOf(app).redo(id),
    },
  ];
}
