import { putBack } from '../../core/library/bulk';
import type { Phrase } from '../../core/phrase/types';
import { refusalInWords } from '../shared/save-words';
import { count } from '../shared/words';
import type { App } from './app-context';
import { type Changed, type ChangeNote, editsOf } from './edits';
import { phrasesOf } from './phrases-of';

/** So many are written in a transaction, with a chance to stop after each. */
const TOGETHER = 256;

/** What came of changing many phrases. */
export interface Outcome {
  readonly changed: readonly Changed[];
  /** Why it did not go on, line by line; null where it ended or was stopped. */
  readonly refused: readonly string[] | null;
}

/**
 * Changes phrases, some at a time where they are many, shown while it goes on; stopped, what is done
 * stays done.
 * @param change Gives the same object for a phrase that stays as it is.
 */
export async function changeEach(
  app: App,
  ids: readonly string[],
  change: (phrase: Phrase) => Phrase,
  note: ChangeNote,
): Promise<Outcome> {
  const edits = editsOf(app);
  const changed: Changed[] = [];
  let refused: readonly string[] | null = null;
  const part = async (some: readonly string[]) => {
    // At hand when they are changed.
    await phrasesOf(app.store, some);
    const done = await edits.replaceAll(some, change, note);
    changed.push(...done.changed);
    if (done.saved.kind === 'saved') return;
    refused =
      done.saved.kind === 'conflicts'
        ? done.saved.conflicts.flatMap((conflict) => refusalInWords({ kind: 'conflict', conflict }))
        : refusalInWords(done.saved);
  };
  if (ids.length <= TOGETHER) {
    await part(ids);
    return { changed, refused };
  }
  const shown = app.notices.work(`Changing ${count(ids.length, 'phrase')} …`);
  try {
    await app.store.inBulk(async () => {
      for (let at = 0; at < ids.length; at += TOGETHER) {
        await part(ids.slice(at, at + TOGETHER));
        shown.tell(Math.min(1, (at + TOGETHER) / ids.length));
        if (refused !== null || shown.stopped()) return;
      }
    });
  } finally {
    shown.end();
  }
  return { changed, refused };
}

/**
 * Puts back what a change of many has changed, as far as nobody has changed it since.
 * @returns why not all of it could be, line by line; null where it was.
 */
export async function changeBack(
  app: App,
  changed: readonly Changed[],
): Promise<readonly string[] | null> {
  const was = new Map(changed.map((c) => [c.before.id, c]));
  const { refused } = await changeEach(
    app,
    [...was.keys()],
    (p) => putBack(p, was.get(p.id)!.before, was.get(p.id)!.after),
    { command: 'library.back', label: 'taking a change of many back' },
  );
  return refused;
}
