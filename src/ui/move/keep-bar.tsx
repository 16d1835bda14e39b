import { type ReactNode, useState } from 'react';
import { childTitle } from '../../core/move/child';
import type { Destination } from '../../core/move/request';
import type { Phrase } from '../../core/phrase/types';
import { type App, useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editsOf } from '../frame/edits';
import { childOf, keepAsNew } from '../frame/keep-as-new';
import type { RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { titleOf } from '../shared/facts';
import { plainLine } from '../shared/plain-text';
import { refusalInWords } from '../shared/save-words';

interface KeepBarProps {
  readonly draft: Draft;
  readonly moved: Phrase;
  /** Where it went, move by move. */
  readonly to: readonly Destination[];
  /** The same in words that follow a title. */
  readonly what: string;
  readonly route: RouteOf<'move'>;
  /** What else can be done with the result. */
  readonly children: ReactNode;
}

/** Keep the result beside the original, put it in its place, or let it go; each can be undone. */
export function KeepBar({ draft, moved, to, what, route, children }: KeepBarProps) {
  const app = useApp();
  const { phrase } = draft;
  const suggested = childTitle(phrase, moved, to);
  const [typed, setTyped] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const title = typed ?? suggested;
  const during = async (work: () => Promise<unknown>) => {
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
          onChange={(e) => setTyped(plainLine(e.target.value))}
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
          onClick={() => during(() => replaceOriginal(app, phrase, moved, what))}
        >
          Replace the original
        </button>
        <button type="button" aria-disabled={busy} onClick={() => letGo(app, phrase, route)}>
          Let go
        </button>
        {children}
      </div>
    </section>
  );
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
