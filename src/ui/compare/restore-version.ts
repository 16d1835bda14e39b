import type { Phrase } from '../../core/phrase/types';
import { PHRASES } from '../../io/kinds/kinds';
import type { Version } from '../../storage/versions';
import type { App } from '../frame/app-context';
import { editsOf } from '../frame/edits';
import { changedSince, titleOf } from '../shared/facts';
import { momentName } from '../shared/moment';
import { refusalInWords } from '../shared/save-words';

/**
 * Puts an earlier version in the place of the phrase as it stands, which is kept as a version, too. It
 * is a step that can be taken back.
 */
export async function restoreVersion(
  app: App,
  phrase: Phrase,
  version: Version<Phrase>,
): Promise<void> {
  const when = momentName(version.made);
  await app.queue.flush();
  const now = editsOf(app).phrase(phrase.id) ?? phrase;
  await app.store.versions?.keep(PHRASES, now, 'restore', Date.parse(app.now()));
  const { created } = phrase.meta;
  const next = { ...version.value, meta: { ...version.value.meta, created } };
  const saved = await editsOf(app).replace(now, next, {
    command: 'phrase.version',
    label: `the version of ${when}`,
  });
  if (saved.kind !== 'saved') {
    app.notices.trouble('Nothing was put back.', refusalInWords(saved));
    return;
  }
  const step = editsOf(app).lastStep(phrase.id);
  app.notices.done(`“${titleOf(next)}” is as it was on ${when}.`, {
    label: 'Undo',
    run: () => {
      if (editsOf(app).undoOnly(phrase.id, step) !== null)
        app.notices.done(`“${titleOf(now)}” is as it was before.`);
      else app.notices.trouble('Nothing was taken back.', [changedSince(next)]);
    },
  });
}
