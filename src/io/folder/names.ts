import { fingerprint } from '../../core/library/merge';
import { allowedStem } from '../file/reserved-name';
import type { AnyKind } from '../kinds/kind';

/** Most characters of a title in a file's name. */
const LONGEST = 60;
const REMOVED_FOLDER = 'removed';
/** The ending of files that say that something was removed. */
export const REMOVED_ENDING = 'gone';

/** Where a thing lies in a folder, and the same with a number where that is taken. */
export function pathOf(kind: AnyKind, id: string, title: string, n = 1): string {
  const number = n === 1 ? '' : `-${n}`;
  return `${folderOf(kind)}/${stemOf(title, kind)}.${markOf(kind, id)}${number}.json`;
}

/** Where it says that something was removed. */
export function removedPath(kind: AnyKind, id: string, n = 1): string {
  return `${REMOVED_FOLDER}/${kind.name}.${markOf(kind, id)}${n === 1 ? '' : `-${n}`}.${REMOVED_ENDING}`;
}

/** Whether a path is `pathOf` with any number. Some systems take accents apart in names. */
export function isPathOf(path: string, kind: AnyKind, id: string, title: string): boolean {
  const [stem, wanted] = [path, pathOf(kind, id, title)].map((p) =>
    p.normalize('NFC').replace(/\.json$/u, ''),
  ) as [string, string];
  return (
    stem === wanted ||
    (stem.startsWith(`${wanted}-`) && /^\d+$/u.test(stem.slice(wanted.length + 1)))
  );
}

/** The eight digits that a file's name has of the kind and the id, in whatever name it was given. */
export function markOf(kind: AnyKind, id: string): string {
  return fingerprint(`${kind.name} ${id}`).slice(0, 8);
}

/** The same digits read off a name; null where it has none, as names that others gave. */
export function markIn(path: string): string | null {
  return /\.([0-9a-f]{8})(?![0-9a-f])[^/]*$/u.exec(path)?.[1] ?? null;
}

/** Whether a file is looked at at all: what is hidden or has another ending is never touched. */
export function isLookedAt(path: string): boolean {
  return !/(^|\/)\./u.test(path) && /\.(json|gone)$/u.test(path);
}

/**
 * The folders inside a folder in which this program writes and looks; files that lie beside them are
 * looked at as well. Any others, and folders in these, belong to somebody else.
 */
export function foldersOf(kinds: readonly AnyKind[]): ReadonlySet<string> {
  return new Set([...kinds.map(folderOf), REMOVED_FOLDER]);
}

/** `phrases`, `song-forms`, `practice-turns` */
function folderOf(kind: AnyKind): string {
  return `${kind.noun.replaceAll(' ', '-')}s`;
}

/** Letters and digits of any script with hyphens between, as file systems take them. */
function stemOf(title: string, kind: AnyKind): string {
  const plain = title
    .normalize('NFC')
    .toLowerCase()
    .replaceAll('♭', 'b')
    .replaceAll('♯', '#')
    .replaceAll(/[^\p{L}\p{M}\p{N}#]+/gu, '-');
  const short = [...plain]
    .slice(0, LONGEST)
    .join('')
    .replaceAll(/^-+|-+$/gu, '');
  return short === '' ? kind.name : allowedStem(short, kind.name);
}
