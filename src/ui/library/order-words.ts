import type { LibraryOrder } from '../../core/library/sort';

/** The orders of the list in words. */
export const ORDER_WORDS: Readonly<Record<LibraryOrder, string>> = {
  title: 'by title',
  begin: 'guitar and easy first',
  changed: 'last changed first',
  level: 'easiest first',
  key: 'by key, flats to sharps',
  bars: 'shortest first',
  used: 'longest not used first',
  match: 'best match first',
};
