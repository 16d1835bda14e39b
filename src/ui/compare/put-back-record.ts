import type { AnyRecord } from '../../core/differing/words';
import { shownTitle } from '../../core/phrase/record';
import type { Kind } from '../../io/kinds/kind';
import type { Version } from '../../storage/versions';
import type { App } from '../frame/app-context';
import { replaceRecord } from '../frame/record-steps';
import { momentName } from '../shared/moment';

/**
 * Puts an earlier version of something that is no phrase in its place, which is kept as a version, too. It is a
 * step that can be taken back.
 */
export async function putBackRecord(
  app: App,
  kind: Kind<AnyRecord>,
  id: string,
  version: Version<AnyRecord>,
): Promise<void> {
  await app.queue.flush();
  const now = app.store.of(kind).get(id)?.value;
  if (now === undefined) {
    app.notices.trouble('Nothing was put back.', [`The ${kind.noun} is not here any more.`]);
    return;
  }
  await app.store.versions?.keep(kind, now, 'restore', Date.parse(app.now()));
  const { created } = now.meta;
  const next = { ...version.value, meta: { ...version.value.meta, created } };
  const undo = replaceRecord(app, kind, next);
  await app.queue.flush();
  const status = app.queue.of(kind).status(id);
  if (status.kind === 'refused') {
    app.notices.trouble('What was put back is only in this window.', []);
    return;
  }
  const title = shownTitle(next.meta);
  app.notices.done(`“${title}” is as it was on ${momentName(version.made)}.`, {
    label: 'Undo',
    run: () => {
      if (undo()) app.notices.done(`“${shownTitle(now.meta)}” is as it was before.`);
      else
        app.notices.trouble('Nothing was taken back.', [
          `“${title}” was changed again since. Undo on its page takes its changes back one by one.`,
        ]);
    },
  });
}
