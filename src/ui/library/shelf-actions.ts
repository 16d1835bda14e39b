import { useMemo } from 'react';
import { useActions, useApp } from '../frame/app-context';
import { libraryActions, type ShelfParts } from './library-actions';

/** Puts what can be done on the library page into the list of everything; shows nothing. */
export function ShelfActions(props: ShelfParts) {
  const app = useApp();
  const { view, show, found, chosen, exportIds, order, makeLesson } = props;
  const { backUp, remove, setChosen, hasSamples } = props;
  useActions(
    useMemo(
      () =>
        libraryActions({
          app,
          view,
          show,
          found,
          chosen,
          exportIds,
          order,
          makeLesson,
          backUp,
          remove,
          setChosen,
          hasSamples,
        }),
      [
        app,
        view,
        show,
        found,
        chosen,
        exportIds,
        order,
        makeLesson,
        backUp,
        remove,
        setChosen,
        hasSamples,
      ],
    ),
  );
  return null;
}
