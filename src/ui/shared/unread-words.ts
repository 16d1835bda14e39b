import type { StoreProblem } from '../../storage/types';

/** What became of a record that cannot be read, behind its name. */
export const UNREAD_WORDS: Readonly<Record<StoreProblem['kind'], string>> = {
  damaged: 'is damaged',
  'too new': 'was written by a newer version of Degreewise',
  unreadable: 'cannot be given back by the browser',
};
