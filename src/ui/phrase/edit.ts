import type { Phrase } from '../../core/phrase/types';
import type { App } from '../app/app-context';
import { type Draft, touched } from '../shared/draft';
import { undoStacks } from '../shared/undo';

/** Changes a phrase in place: it is saved in turn, and can be gone back from. */
export function editPhrase(app: App, draft: Draft, next: Phrase, what: string): void {
  undoStacks.record(draft.phrase, what, Date.parse(app.now()));
  app.queue.edit(touched(app, next), draft.stored.revision);
}

/** One step back. */
export function undoEdit(app: App, draft: Draft): void {
  const earlier = undoStacks.undo(draft.phrase);
  if (earlier !== null) app.queue.edit(touched(app, earlier), draft.stored.revision);
}

/** One step forward again. */
export function redoEdit(app: App, draft: Draft): void {
  const later = undoStacks.redo(draft.phrase);
  if (later !== null) app.queue.edit(touched(app, later), draft.stored.revision);
}
