import type { Problem } from '../core/result';

/* Why the library is not open, for the user. */

export const BLOCKED: Problem = {
  message: 'an older version of the program has the library open in another window',
  fix: 'Close the other windows of this program; this one goes on by itself.',
};
export const OUTDATED: Problem = {
  message: 'a newer version of the program has opened the library in another window',
  fix: 'Reload this window; nothing is written from it until then.',
};
export const DELETED: Problem = {
  message: 'the library was deleted outside of this window',
  fix: 'Export what you want to keep from this window before you close or reload it.',
};
export const LOST: Problem = {
  message: 'the browser closed the library',
  fix: 'Open it again; if that fails, export what you want to keep and reload the window.',
};

/** Why the library could not be read. @param e What the browser said. */
export function failedToLoad(e: unknown): Problem {
  return {
    message: `the library could not be read (${String(e)})`,
    fix: 'Nothing was changed. Close other windows of this program and try again.',
  };
}

/** Why something was not written. @param e What the browser said. */
export function notWritten(e: unknown): Problem {
  return {
    message: `the browser did not write it (${String(e)})`,
    fix: 'Try again; if it stays so, export what you want to keep.',
  };
}

/** What a failure is called; empty where it does not say. */
export function nameOf(e: unknown): string {
  return typeof e === 'object' && e !== null && 'name' in e ? String(e.name) : '';
}
