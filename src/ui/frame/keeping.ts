import { NotThere, onDemand } from '../shared/on-demand';
import type { App } from './app-context';

type Keeping = typeof import('./keep-and-remove');

/** What removes and brings back, for the first page, which does not wait for it. */
const keeping = onDemand('What removes and brings back', () => import('./keep-and-remove'));

/**
 * Removes or brings back once what does it has come.
 * @returns false where it did not come, which is said.
 */
export async function keepOrRemove(app: App, act: (k: Keeping) => Promise<void>): Promise<boolean> {
  let come: Keeping;
  try {
    come = await keeping.get();
  } catch (reason) {
    if (!(reason instanceof NotThere)) throw reason;
    app.notices.trouble(reason.message);
    return false;
  }
  await act(come);
  return true;
}

/** Whether something was removed in this window that can be brought back. */
export const canBringBack = (): boolean => keeping.known()?.canBringBack() ?? false;
