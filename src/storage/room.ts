import type { LibraryDeps } from './deps';
import { settle } from './patience';
import { nameOf } from './reasons';

/** The folder of the private file system in which the index of the search lies: it can go at any time. */
export const INDEX_FOLDER = 'degreewise-search';

/** Whether the browser refused for want of room. */
export function isFull(e: unknown): boolean {
  return nameOf(e) === 'QuotaExceededError';
}

/** A write before which what can be made anew gives way, where there is no room for both. */
export async function withRoom<T>(
  { makeRoom }: Pick<LibraryDeps, 'makeRoom'>,
  write: () => Promise<T>,
): Promise<T> {
  try {
    return await write();
  } catch (e) {
    if (!isFull(e) || (await settle(makeRoom?.())) !== true) throw e;
    return write();
  }
}

/** Throws the index away. @returns false where there was none, or no such file system. */
export async function throwIndexAway(): Promise<boolean> {
  const root = await navigator.storage.getDirectory();
  await root.removeEntry(INDEX_FOLDER, { recursive: true });
  return true;
}
