import { useState } from 'react';
import type { Goal } from '../../core/move/goal';
import type { Phrase } from '../../core/phrase/types';
import { type App, useApp } from '../app/app-context';
import { addressOf, type RouteOf } from '../app/route';
import { navigate } from '../app/use-route';
import type { Draft } from '../shared/draft';
import { editsOf } from '../shared/edits';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import { goalInWords, titleOfResult } from './move-words';

interface KeepBarProps {
  readonly draft: Draft;
  readonly moved: Phrase;
  readonly goal: Goal;
  readonly route: RouteOf<'move'>;
}

/** Keep the result beside the original, put it in its place, or let it go; each can be undone. */
export function KeepBar({ draft, moved, goal, route }: KeepBarProps) {
  const app = useApp();
  const { phrase } = draft;
  const suggested = titleOfResult(phrase, goal);
  const [typed, setTyped] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const title = typed ?? suggested;
  const during = async (work: () => Promise<void>) => {
    if (busy) return;
    setBusy(true);
    try {
      await work();
    } finally {
      setBusy(false);
    }
  };
  return (
    <section className="keep" aria-labelledby="keep">
      <h3 id="keep">Keep it, or let it go</h3>
      <label>
        Title of the new phrase
        <input
          type="text"
          value={title}
          maxLength={500}
          onChange={(e) => setTyped(e.target.value)}
        />
      </label>
      <div className="keep-buttons">
        <button
          type="button"
          className="primary"
          aria-disabled={busy}
          onClick={() =>
            void during(() => keepAsNew(app, childOf(app, phrase, moved, title), route))
          }
        >
          Keep as a new phrase
        </button>
        <button
          type="button"
          aria-disabled={busy}
          onClick={() =>
            during(() => replaceOriginal(app, phrase, moved, goalInWords(phrase, goal)))
          }
        >
          Replace the original
        </button>
        <button type="button" aria-disabled={busy} onClick={() => letGo(app, phrase, route)}>
          Let go
        </button>
      </div>
    </section>
  );
}

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

/**
 * Puts the result in the original's place, with its id, parent and what is said about it.
 * @param what Goes after 'is now' in the acknowledgement.
 */
export async function replaceOriginal(
  app: App,
  phrase: Phrase,
  result: Phrase,
  what: string,
): Promise<void> {
  const next = { ...result, id: phrase.id, parent: phrase.parent, meta: phrase.meta };
  const saved = await editsOf(app).replace(phrase, next, {
    command: 'phrase.move',
    label: `the move ${what}`,
  });
  if (saved.kind !== 'saved') {
    app.notices.trouble('Nothing was replaced.', refusalInWords(saved));
    return;
  }
  navigate({ page: 'phrase', id: phrase.id, query: {} });
  app.notices.done(`“${titleOf(phrase)}” is now ${what}.`, {
    label: 'Undo',
    run: () => void putBack(app, phrase),
  });
}

/** Undoes a replacement; what was done since stays among the steps that can be gone back to. */
async function putBack(app: App, before: Phrase): Promise<void> {
  const saved = await editsOf(app).replace(before, before, {
    command: 'phrase.back',
    label: 'the way back',
  });
  if (saved.kind !== 'saved') {
    app.notices.trouble('The change was not undone.', refusalInWords(saved));
    return;
  }
  app.notices.done(`“${titleOf(before)}” is as it was before.`);
}

function letGo(app: App, phrase: Phrase, route: RouteOf<'move'>): void {
  navigate({ page: 'phrase', id: phrase.id, query: {} });
  app.notices.done(`The result was let go; “${titleOf(phrase)}” is unchanged.`, {
    label: 'Undo',
    run: () => navigate(route),
  });
}
