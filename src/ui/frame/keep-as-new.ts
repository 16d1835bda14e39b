import type { Phrase } from '../../core/phrase/types';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import type { App } from './app-context';
import { addressOf, type RouteOf } from './route';
import { navigate } from './use-route';

/** The result as a phrase of its own that knows where it comes from. */
export function childOf(
  app: Pick<App, 'newId' | 'now'>,
  parent: Phrase,
  result: Phrase,
  title: string,
): Phrase {
  const now = app.now();
  return {
    ...result,
    id: app.newId(),
    parent: parent.id,
    meta: { ...result.meta, title: title.trim(), created: now, modified: now },
  };
}

/**
 * Writes a new phrase and goes to it; said only once it is on the disk. Undo takes it out again and
 * leads back to where it was made.
 */
export async function keepAsNew(
  app: App,
  child: Phrase,
  from: RouteOf<'move'> | RouteOf<'phrase'>,
): Promise<void> {
  const saved = await app.store.save(child, null);
  if (saved.kind !== 'saved') {
    app.notices.trouble('The new phrase was not kept.', refusalInWords(saved));
    return;
  }
  navigate({ page: 'phrase', id: child.id, query: {} });
  const name = titleOf(child);
  app.notices.done(`Kept as “${name}”.`, {
    label: 'Undo',
    run: () => void removeAgain(app, child, addressOf(from)),
  });
}

async function removeAgain(app: App, child: Phrase, back: string): Promise<void> {
  const removed = await app.store.remove([child.id]);
  if (removed.kind !== 'done') {
    app.notices.trouble(`“${titleOf(child)}” was not taken out.`, refusalInWords(removed));
    return;
  }
  window.location.hash = back;
  app.notices.done(`“${titleOf(child)}” is out of the library again.`);
}
