import type { Shelf } from './left-behind';

/** Local storage as a shelf; where it is switched off or full, nothing is on it. */
export function localShelf(): Shelf {
  const tried = <T>(work: () => T, otherwise: T): T => {
    try {
      return work();
    } catch {
      // No storage for this address, or no room: the page then goes without.
      return otherwise;
    }
  };
  return {
    names: () => tried(() => Object.keys(localStorage), []),
    read: (name) => tried(() => localStorage.getItem(name), null),
    write: (name, text) =>
      tried(() => {
        localStorage.setItem(name, text);
        return true;
      }, false),
    remove: (name) => tried(() => localStorage.removeItem(name), undefined),
  };
}
