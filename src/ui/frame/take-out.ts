import type { LibraryStore, Revision } from '../../storage/types';
import { refusalInWords } from '../shared/save-words';
import type { KeepingDeps } from './first-start';
import { type CameIn, type FileOutcome, newThings } from './importer';
import { removeThings } from './keep-and-remove';

/** Something that was put together with what came, as it was, as it is, and as what it was written. */
interface Apart {
  readonly of: CameIn;
  readonly before: unknown;
  readonly after: unknown;
  readonly revision: Revision;
}

/**
 * Takes an import out again: what was new is removed, what was put together with it is as it was. What
 * was changed since stays, and is told. All of it can be undone.
 */
export async function takeOutAgain(
  deps: KeepingDeps,
  files: readonly FileOutcome[],
): Promise<void> {
  const { store, notices } = deps;
  const apart = await eachOf(store, joinedIn(files), (a) => a.before);
  if (apart.left.length > 0) notices.trouble('Not all of it was taken out.', apart.left);
  const added = newThings(files);
  const again = async () => {
    const { left } = await eachOf(store, apart.done, (a) => a.after);
    if (left.length > 0) notices.trouble('Not all of it was put together again.', left);
  };
  if (added.length > 0) return removeThings(deps, added, again);
  if (apart.done.length === 0) return;
  const titles = apart.done.map(({ of }) => `“${of.title}”`).join(', ');
  notices.done(`${titles}: as before.`, { label: 'Undo', run: () => void again() });
}

/** Whether anything came in that can be taken out again. */
export function canBeTakenOut(files: readonly FileOutcome[]): boolean {
  return newThings(files).length > 0 || joinedIn(files).length > 0;
}

/** Each once: two files may have brought parts of one. */
function joinedIn(files: readonly FileOutcome[]): readonly Apart[] {
  const found = new Map<string, Apart>();
  for (const of of files.flatMap((f) => (f.kind === 'in' ? [...f.phrases, ...f.others] : []))) {
    if (of.join === undefined || of.join.before === null) continue;
    const key = `${of.kind.name} ${of.id}`;
    const first = found.get(key);
    found.set(key, { of, ...of.join, ...(first !== undefined && { before: first.before }) });
  }
  return [...found.values()];
}

/** Puts something else in the place of each, where nobody has changed it since. */
async function eachOf(
  store: Pick<LibraryStore, 'of'>,
  things: readonly Apart[],
  next: (thing: Apart) => unknown,
): Promise<{ readonly done: readonly Apart[]; readonly left: readonly string[] }> {
  const done: Apart[] = [];
  const left: string[] = [];
  for (const thing of things) {
    const { kind, title, id } = thing.of;
    const all = store.of(kind);
    const since = [`The ${kind.noun} “${title}” was changed since, and stays as it is.`];
    if (all.get(id)?.revision !== thing.revision) {
      left.push(...since);
      continue;
    }
    const saved = await all.save(next(thing), thing.revision);
    if (saved.kind === 'saved') done.push({ ...thing, revision: saved.stored.revision });
    else left.push(...(saved.kind === 'conflict' ? since : refusalInWords(saved)));
  }
  return { done, left };
}
