import { describe, expect, it } from 'vitest';
import { changeMeta, lessonOf } from '../../../src/core/lesson/edit';
import type { Lesson } from '../../../src/core/lesson/types';
import { LESSONS } from '../../../src/io/kinds/kinds';
import { createMemoryStore } from '../../../src/storage';
import { createSaveQueue } from '../../../src/storage/queue';
import type { App } from '../../../src/ui/frame/app-context';
import { createNotices } from '../../../src/ui/frame/notices';
import { putIntoLesson } from '../../../src/ui/frame/put-into-lesson';
import { recordEdits } from '../../../src/ui/frame/record-steps';
import { NO_VERSIONS } from '../../support/no-versions';
import { phraseNamed } from '../../support/phrase-named';

let lessons = 0;

async function bench() {
  const id = `l${lessons++}`;
  const birth = { id, now: '2026-03-01T00:00:00.000Z', title: 'First' };
  const phrases = [phraseNamed('a', 'A'), phraseNamed('b', 'B')];
  const store = createMemoryStore({ phrases, versions: NO_VERSIONS });
  await store.opened();
  const all = store.of(LESSONS);
  await all.save(lessonOf([phrases[0]!], birth), null);
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => `${id}-mine`,
    after: () => () => {},
    copyTitle: (t) => `${t}, second version`,
  });
  const notices = createNotices();
  let clock = 0;
  const now = () => new Date(Date.UTC(2026, 2, 2) + 1000 * clock++).toISOString();
  const app = { store, queue, notices, now } as unknown as App;
  const status = () => queue.of(LESSONS).status(id);
  const there = () => all.get(id)!.value;
  /** The page as it is drawn now. */
  const page = () => {
    const s = status();
    return recordEdits(app, LESSONS, 'draft' in s ? s.draft : there(), s);
  };
  const rename = (title: string, at = page()) =>
    at.change(changeMeta(at.value, { title }), `title ${title}`);
  /** What another window does, of which this one hears. */
  const elsewhere = async (change: (l: Lesson) => Lesson) => {
    const { value, revision } = all.get(id)!;
    const saved = await all.save(change(value), revision);
    expect(saved.kind).toBe('saved');
  };
  const said = () => notices.list().map((n) => n.text);
  const titles = () => all.all().map((s) => s.value.meta.title);
  return { app, id, queue, page, rename, elsewhere, there, titles, said };
}

const intro = (l: Lesson) => changeMeta(l, { intro: 'Written elsewhere' });

describe('steps of a lesson', () => {
  it('lead back and forth, saved or not yet', async () => {
    const t = await bench();
    t.rename('Second');
    t.page().undo();
    t.page().redo();
    await t.queue.flush();
    t.rename('Third');
    await t.queue.flush();
    expect(t.there().meta.title).toBe('Third');
    t.page().undo();
    t.page().undo();
    await t.queue.flush();
    expect(t.there().meta.title).toBe('First');
    expect(t.page().canUndo).toBe(false);
    expect(t.said()).toEqual([]);
  });

  it.each(['undo', 'redo'] as const)(
    'are not gone by with %s over what another window has written since',
    async (way) => {
      const t = await bench();
      t.rename('Second');
      t.rename('Third');
      t.page().undo();
      await t.queue.flush();
      const before = t.page();
      await t.elsewhere(intro);
      expect([t.page().canUndo, t.page().canRedo]).toEqual([false, false]);
      // By a page that was not drawn again yet, and by one that was.
      before[way]();
      t.page()[way]();
      await t.queue.flush();
      expect(t.there().meta).toMatchObject({ title: 'Second', intro: 'Written elsewhere' });
      expect(t.said()).toEqual([
        '“Second” was changed elsewhere. What was done here before can no longer be undone one by one.',
      ]);
    },
  );

  it('begin anew from what another window has written', async () => {
    const t = await bench();
    t.rename('Second');
    await t.queue.flush();
    await t.elsewhere(intro);
    t.rename('Third');
    await t.queue.flush();
    t.page().undo();
    await t.queue.flush();
    expect(t.there().meta).toMatchObject({ title: 'Second', intro: 'Written elsewhere' });
    expect(t.page().canUndo).toBe(false);
  });

  it('keep both where a change was made from what another window has changed meanwhile', async () => {
    const t = await bench();
    const shown = t.page();
    await t.elsewhere(intro);
    t.rename('From what was shown', shown);
    await t.queue.flush();
    expect(t.there().meta).toMatchObject({ title: 'First', intro: 'Written elsewhere' });
    expect(t.titles()).toEqual(['First', 'From what was shown, second version']);
    expect(t.page().status.kind).toBe('kept both');
    expect(t.page().canUndo).toBe(false);
  });

  it('know what another page of this window has put in', async () => {
    const t = await bench();
    t.rename('Second');
    const put = await putIntoLesson(t.app, ['b'], { lesson: t.id });
    expect(put).toMatchObject({ said: '1 phrase put into the lesson “Second”' });
    expect(t.there().items).toHaveLength(2);
    t.page().undo();
    t.page().undo();
    await t.queue.flush();
    expect(t.there().items).toHaveLength(1);
    expect(t.there().meta.title).toBe('First');
    expect(t.said()).toEqual([]);
  });
});
