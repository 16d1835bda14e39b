import { describe, expect, it } from 'vitest';
import type { AnyRecord } from '../../../src/core/differing/words';
import { changeMeta, lessonOf } from '../../../src/core/lesson/edit';
import type { Lesson } from '../../../src/core/lesson/types';
import type { Kind } from '../../../src/io/kinds/kind';
import { LESSONS } from '../../../src/io/kinds/kinds';
import { createMemoryStore } from '../../../src/storage';
import { createSaveQueue } from '../../../src/storage/queue';
import { putBackRecord } from '../../../src/ui/compare/put-back-record';
import type { App } from '../../../src/ui/frame/app-context';
import { createNotices } from '../../../src/ui/frame/notices';
import { replaceRecord } from '../../../src/ui/frame/record-steps';
import { NO_VERSIONS } from '../../support/no-versions';
import { phraseNamed } from '../../support/phrase-named';

const NOW = '2026-03-01T00:00:00.000Z';
const birth = { id: 'l', now: NOW, title: 'As it was' };
const WAS = lessonOf([phraseNamed('a', 'First'), phraseNamed('b', 'Second')], birth);
const IS = changeMeta(lessonOf([phraseNamed('b', 'Second')], birth), { title: 'As it is' });
const VERSION = { value: WAS, kept: 2, made: 1, why: 'edit' } as const;

async function bench() {
  const kept: unknown[] = [];
  const versions = {
    ...NO_VERSIONS,
    keep: async (_: unknown, value: unknown) => void kept.push(value),
  };
  const store = createMemoryStore({ phrases: [], versions });
  await store.opened();
  await store.of(LESSONS).save(IS, null);
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => t,
  });
  const notices = createNotices();
  const app = { store, queue, notices, now: () => NOW } as unknown as App;
  const here = () => store.of(LESSONS).get('l')?.value;
  const putBack = () => putBackRecord(app, LESSONS as unknown as Kind<AnyRecord>, 'l', VERSION);
  const undo = async () => {
    const offers = notices.list().filter((n) => n.actions.length > 0);
    offers.at(-1)?.actions[0]?.run();
    await queue.flush();
    return notices.list().at(-1)?.text;
  };
  return { app, store, queue, kept, here, putBack, undo };
}

describe('an earlier version of a lesson that is put back', () => {
  it('stands in its place whole; what stood there is kept, and comes back by undoing', async () => {
    const t = await bench();
    await t.putBack();
    expect(t.here()).toEqual({ ...WAS, meta: { ...WAS.meta, modified: NOW } });
    expect(t.kept).toEqual([IS]);
    expect(await t.undo()).toBe('“As it is” is as it was before.');
    expect(t.here()).toEqual({ ...IS, meta: { ...IS.meta, modified: NOW } });
  });

  it('is not taken back over what was done since', async () => {
    const t = await bench();
    await t.putBack();
    const since: Lesson = changeMeta(t.here()!, { title: 'Since' });
    replaceRecord(t.app, LESSONS, since);
    await t.queue.flush();
    expect(await t.undo()).toBe('Nothing was taken back.');
    expect(t.here()?.meta.title).toBe('Since');
  });

  it('is not taken back over what another window did since', async () => {
    const t = await bench();
    await t.putBack();
    const { revision } = t.store.of(LESSONS).get('l')!;
    const meta = { ...WAS.meta, title: 'Elsewhere', modified: '2026-03-01T00:01:00.000Z' };
    await t.store.of(LESSONS).save({ ...WAS, meta }, revision);
    expect(await t.undo()).toBe('Nothing was taken back.');
    expect(t.here()?.meta.title).toBe('Elsewhere');
  });

  it('is told where the lesson is gone meanwhile', async () => {
    const t = await bench();
    await t.store.of(LESSONS).remove(['l']);
    await t.putBack();
    expect(t.app.notices.list().at(-1)?.text).toBe('Nothing was put back.');
    expect(t.here()).toBeUndefined();
  });
});
