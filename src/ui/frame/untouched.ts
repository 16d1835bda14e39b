import type { Shelf } from '../../storage/left-behind';
import type { Revision } from '../../storage/types';

/** Begins the names of what is noted about new phrases that nobody has written anything in yet. */
const PREFIX = 'degreewise.untouched.';

/** A new phrase as it was laid in. */
export interface Untouched {
  readonly id: string;
  readonly began: Revision;
}

/** Remembers a phrase that was begun and has nothing in it yet. */
export function noteUntouched(shelf: Shelf, { id, began }: Untouched): void {
  shelf.write(`${PREFIX}${id}`, String(began));
}

/** Something is in it, or it is gone. */
export function clearUntouched(shelf: Shelf, id: string): void {
  shelf.remove(`${PREFIX}${id}`);
}

/** What this or another window has begun, or left behind when it was closed. */
export function untouchedOn(shelf: Shelf): readonly Untouched[] {
  return shelf
    .names()
    .filter((name) => name.startsWith(PREFIX))
    .map((name) => ({ id: name.slice(PREFIX.length), began: Number(shelf.read(name)) }));
}
