import { memo, useMemo } from 'react';
import { useActions, useApp } from '../frame/app-context';
import { libraryActions, type ShelfParts } from './library-actions';

/**
 * Puts what can be done on the library page into the list of everything; shows nothing. Its props are others only where one of
 * them is another.
 */
export const ShelfActions = memo(function ShelfActions(props: ShelfParts) {
  const app = useApp();
  useActions(useMemo(() => libraryActions({ app, ...props }), [app, props]));
  return null;
});
