import { describe, expect, it, vi } from 'vitest';
import { standardForm } from '../../../src/core/form/standard';
import { lessonOf } from '../../../src/core/lesson/edit';
import { MOST_ITEMS } from '../../../src/core/lesson/types';
import { COLLECTIONS, LESSONS, USES } from '../../../src/io/kinds/kinds';
import { createMemoryStore, createSaveQueue } from '../../../src/storage';
import type { App } from '../../../src/ui/frame/app-context';
import { editsOf } from '../../../src/ui/frame/edits';
import { makeLessonOf } from '../../../src/ui/frame/make-lesson';
import { createNotices } from '../../../src/ui/frame/notices';
import { noteUse, orderTogether } from '../../../src/ui/frame/order-together';
import { soloOver } from '../../support/over-form';
import { phraseNamed } from '../../support/phrase-named';

async function bench() {
  const phrases = ['a', 'b', 'c'].map((id) => phraseNamed(id, id));
  const store = createMemoryStore({ phrases });
  await store.opened();
  let ids = 0;
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => t,
  });
  const notices = createNotices();
  const app = {
    store,
    queue,
    notices,
    histories: null,
    newId: () => `new-${++ids}`,
    now: () => '2026-11-27T12:00:00.000Z',
  } as unknown as App;
  const undo = async () => {
    notices
      .list()
      .filter((n) => n.actions.length > 0)
      .at(-1)
      ?.actions[0]?.run();
    await new Promise((resolve) => setTimeout(resolve, 20));
  };
  const tags = () => store.snapshot().phrases.map((s) => s.peek()!.meta.tags.join(' '));
  const collections = () =>
    store
      .of(COLLECTIONS)
      .all()
      .map(({ value }) => [value.meta.title, ...value.phrases].join(' '));
  const uses = () =>
    store
      .of(USES)
      .all()
      .map(({ value }) => [value.day, ...value.phrases].join(' '));
  const troubles = () => notices.list().filter((n) => n.text.startsWith('Not all'));
  return { app, undo, tags, collections, uses, troubles };
}

describe('putting phrases in order', () => {
  it('does all that was wished at once, and one undo takes all of it back', async () => {
    const b = await bench();
    const wish = {
      into: { title: 'Week 3' },
      change: { addTags: ['slow'] },
      usedOn: '2026-11-27',
    };
    await orderTogether(b.app, ['b', 'a'], wish);
    expect([b.tags(), b.collections(), b.uses()]).toEqual([
      ['slow', 'slow', ''],
      ['Week 3 b a'],
      ['2026-11-27 b a'],
    ]);
    // It is a step of the phrase, too.
    expect(editsOf(b.app).history('a').steps).toHaveLength(1);
    // Somebody goes on with one of them: that stays.
    const p = editsOf(b.app).phrase('a')!;
    await b.app.store.save(
      { ...p, meta: { ...p.meta, tags: ['mine'] } },
      b.app.store.phrase('a')!.revision,
    );
    await b.undo();
    expect([b.tags(), b.collections(), b.uses()]).toEqual([['mine', '', ''], [], []]);
  });

  it('adds to a collection that is there what it lacks, and takes back only that', async () => {
    const b = await bench();
    const nothing = { change: {}, usedOn: null };
    await orderTogether(b.app, ['a'], { ...nothing, into: { title: 'Week 3' } });
    const [stored] = b.app.store.of(COLLECTIONS).all();
    await orderTogether(b.app, ['a', 'c'], { ...nothing, into: { id: stored!.id } });
    expect(b.collections()).toEqual(['Week 3 a c']);
    await b.undo();
    expect(b.collections()).toEqual(['Week 3 a']);
  });

  it('says how many a lesson holds, and keeps none that could not be read', async () => {
    const b = await bench();
    const many = Array.from({ length: MOST_ITEMS + 1 }, (_, i) => phraseNamed(`p${i}`, `p${i}`));
    const loadAll = vi.spyOn(b.app.store, 'loadAll');
    await makeLessonOf(
      b.app,
      many.map((p) => p.id),
    );
    expect(loadAll).not.toHaveBeenCalled();
    const lessons = b.app.store.of(LESSONS);
    expect(lessons.all()).toEqual([]);
    const now = '2026-11-27T00:00:00.000Z';
    await lessons.save(lessonOf(many.slice(2), { id: 'l', now, title: 'All' }), null);
    const before = lessons.get('l')?.value;
    const wish = { into: null, change: {}, usedOn: null, lesson: 'l' };
    await orderTogether(b.app, ['a', 'b'], wish);
    expect(lessons.get('l')?.value).toEqual(before);
    expect(b.app.notices.list().map((n) => [n.text, n.lines])).toEqual([
      [
        'The lesson was not made.',
        ['A lesson holds 500 items at most, and this one would have 501. Choose fewer.'],
      ],
      [
        'Not all of it was done.',
        ['A lesson holds 500 items at most, and this one would have 501. Choose fewer.'],
      ],
    ]);
  });

  it('adds to a lesson that is there what it does not show yet, and takes back only that', async () => {
    const b = await bench();
    const lessons = b.app.store.of(LESSONS);
    const a = editsOf(b.app).phrase('a')!;
    const now = '2026-11-27T08:00:00Z';
    await lessons.save(lessonOf([a], { id: 'l', now, title: 'Thirds' }), null);
    const wish = { into: null, change: {}, usedOn: null, lesson: 'l' };
    await orderTogether(b.app, ['a', 'c', 'b'], wish);
    const shown = () =>
      lessons.get('l')?.value.items.map((i) => (i.kind === 'phrase' ? i.phrase : i.kind));
    expect(shown()).toEqual(['a', 'c', 'b']);
    expect(lessons.get('l')?.value.phrases.map((p) => p.id)).toEqual(['a', 'c', 'b']);
    await b.undo();
    expect(shown()).toEqual(['a']);
    expect(lessons.get('l')?.value.phrases.map((p) => p.id)).toEqual(['a']);
  });

  it('puts a solo that was made of phrases there with its form, and takes back both', async () => {
    const b = await bench();
    const lessons = b.app.store.of(LESSONS);
    await b.app.store.save(soloOver(standardForm('blues')!, 1, 'solo'), null);
    const now = '2026-11-29T08:00:00Z';
    await lessons.save(lessonOf([], { id: 'l', now, title: 'Quay' }), null);
    await orderTogether(b.app, ['solo'], { into: null, change: {}, usedOn: null, lesson: 'l' });
    const shown = () => lessons.get('l')?.value.items.map((i) => i.kind);
    expect(shown()).toEqual(['form', 'solo']);
    await b.undo();
    expect(shown()).toEqual([]);
    // It goes to the lesson.
    vi.stubGlobal('window', { location: { hash: '' } });
    await makeLessonOf(b.app, ['solo']);
    vi.unstubAllGlobals();
    const made = lessons.all().find((l) => l.id !== 'l');
    expect(made?.value.items.map((i) => i.kind)).toEqual(['form', 'solo']);
  });

  it('says what could not be taken back', async () => {
    const b = await bench();
    const lessons = b.app.store.of(LESSONS);
    const a = editsOf(b.app).phrase('a')!;
    const now = '2026-11-27T08:00:00Z';
    await lessons.save(lessonOf([a], { id: 'l', now, title: 'Thirds' }), null);
    await orderTogether(b.app, ['b'], { into: null, change: {}, usedOn: null, lesson: 'l' });
    lessons.save = async () => ({ kind: 'quota', usage: null, quota: null });
    await b.undo();
    expect(b.troubles()).toHaveLength(1);
  });

  it('marks a use once a day, and only of what is in the library', async () => {
    const b = await bench();
    await noteUse(b.app, ['a', 'gone'], 'A lesson');
    await noteUse(b.app, ['a', 'b'], 'A lesson');
    await noteUse(b.app, ['a', 'b'], 'A lesson');
    expect(b.uses().map((u) => u.slice(11))).toEqual(['a', 'b']);
  });
});
