import type { History } from '../../core/edit/steps';
import { childOf as childOfPhrase } from '../../core/move/child';
import type { Phrase } from '../../core/phrase/types';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import type { App } from './app-context';
import { editsOf } from './edits';
import { addressOf, type RouteOf } from './route';
import { navigate } from './use-route';

/** The result as a phrase of its own that knows where it comes from. */
export function childOf(
  app: Pick<App, 'newId' | 'now'>,
  parent: Phrase,
  result: Phrase,
  title: string,
): Phrase {
  return childOfPhrase(parent, result, { id: app.newId(), now: app.now(), title });
}

/**
 * Writes several new phrases at once, all or none; undo takes all of them out again.
 * @param histories What was done to them before they were kept, by id.
 * @returns whether they are kept.
 */
export async function keepAllAsNew(
  app: App,
  children: readonly Phrase[],
  histories: ReadonlyMap<string, History> = new Map(),
): Promise<boolean> {
  const saved = await app.store.saveAll(children.map((phrase) => ({ phrase, base: null })));
  if (saved.kind !== 'saved') {
    const [conflict] = saved.kind === 'conflicts' ? saved.conflicts : [];
    const why = saved.kind === 'conflicts' ? [] : refusalInWords(saved);
    app.notices.trouble(
      'The new phrases were not kept.',
      conflict === undefined ? why : refusalInWords({ kind: 'conflict', conflict }),
    );
    return false;
  }
  for (const child of children) adopt(app, child, histories.get(child.id));
  tellKept(app, children);
  return true;
}

function tellKept(app: App, children: readonly Phrase[]): void {
  const undo = { label: 'Undo', run: () => void removeAll(app, children) };
  const [one, ...more] = children;
  if (one !== undefined && more.length === 0) {
    const see = () => navigate({ page: 'phrase', id: one.id, query: {} });
    app.notices.done(`Kept as “${titleOf(one)}”.`, { label: 'See it', run: see }, undo);
    return;
  }
  // The last changed are the first there.
  const see = () => navigate({ page: 'library', query: { order: 'changed' } });
  const what = `${children.length} new phrases are in the library.`;
  app.notices.done(what, { label: 'See them', run: see }, undo);
}

async function removeAll(app: App, children: readonly Phrase[]): Promise<void> {
  const removed = await app.store.remove(children.map((c) => c.id));
  if (removed.kind !== 'done') {
    app.notices.trouble('The new phrases were not taken out.', refusalInWords(removed));
    return;
  }
  const [one] = children;
  const what = children.length === 1 ? `“${titleOf(one!)}” is` : `${children.length} phrases are`;
  app.notices.done(`${what} out of the library again.`);
}

/**
 * Writes a new phrase and goes to it; said only once it is on the disk. Undo takes it out again and
 * leads back to where it was made.
 * @param history What was done to it before it was kept: it can still be undone then.
 * @returns whether it is kept.
 */
export async function keepAsNew(
  app: App,
  child: Phrase,
  from: RouteOf<'move'> | RouteOf<'phrase'> | RouteOf<'vary'> | RouteOf<'solo'> | RouteOf<'catch'>,
  history?: History,
): Promise<boolean> {
  const saved = await app.store.save(child, null);
  if (saved.kind !== 'saved') {
    app.notices.trouble('The new phrase was not kept.', refusalInWords(saved));
    return false;
  }
  adopt(app, child, history);
  navigate({ page: 'phrase', id: child.id, query: {} });
  const name = titleOf(child);
  app.notices.done(`Kept as “${name}”.`, {
    label: 'Undo',
    run: () => void removeAgain(app, child, addressOf(from)),
  });
  return true;
}

function adopt(app: App, child: Phrase, history: History | undefined): void {
  if (history !== undefined && history.steps.length > 0) editsOf(app).adopt(child, history);
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
