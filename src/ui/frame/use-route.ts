import { useMemo, useSyncExternalStore } from 'react';
import { addressOf, parseRoute, type Route } from './route';

function subscribe(changed: () => void): () => void {
  window.addEventListener('hashchange', changed);
  return () => window.removeEventListener('hashchange', changed);
}

/** The place the address names; follows links, the back button and typing. */
export function useRoute(): Route {
  const hash = useSyncExternalStore(subscribe, () => window.location.hash);
  return useMemo(() => parseRoute(hash), [hash]);
}

/**
 * Goes to a place.
 * @param how `replace` changes the address without a step for the back button, for what is typed
 *   letter by letter.
 */
export function navigate(route: Route, how: 'push' | 'replace' = 'push'): void {
  const address = addressOf(route);
  if (how === 'push') {
    window.location.hash = address;
    return;
  }
  window.history.replaceState(null, '', address);
  window.dispatchEvent(new HashChangeEvent('hashchange'));
}
