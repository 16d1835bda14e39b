import { useMemo } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { Action } from '../frame/actions';
import { type App, useActions, useApp } from '../frame/app-context';
import { today } from '../frame/around-library';
import type { Draft } from '../frame/draft';
import { editsOf, nextSteps, redoWords, undoWords, useHistory } from '../frame/edits';
import { removePhrases } from '../frame/keep-and-remove';
import { orderTogether } from '../frame/order-together';
import { handingOut, placesOf } from '../frame/phrase-places';
import { navigate } from '../frame/use-route';

type Steps = ReturnType<typeof nextSteps>;

/** What can be done here, for the list of everything that can be done. */
export function usePhraseActions(draft: Draft, exportIt: () => void, give: () => void): void {
  const app = useApp();
  const { phrase } = draft;
  const { undo, redo } = nextSteps(useHistory(phrase.id));
  const actions = useMemo(
    () => [
      ...placesOf(phrase, GROUP),
      ...handingOut(GROUP, exportIt, give),
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
    [app, phrase, undo, redo, exportIt, give],
  );
  useActions(actions);
}

const GROUP = 'This phrase';

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
