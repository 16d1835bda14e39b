import { expect, it } from 'vitest';
import { startEditing } from '../../../../src/core/edit/state';
import type { Phrase } from '../../../../src/core/phrase/types';
import { createMemoryStore, createSaveQueue } from '../../../../src/storage';
import { KeptBefore, keepCaught } from '../../../../src/ui/catch/keep-caught';
import type { App } from '../../../../src/ui/frame/app-context';
import { editsOf, undoWords } from '../../../../src/ui/frame/edits';
import { createNotices } from '../../../../src/ui/frame/notices';
import { phraseNamed } from '../../../support/phrase-named';

const named = (p: Phrase, title: string): Phrase => ({ ...p, meta: { ...p.meta, title } });

/** Two phrases were kept, and the first of them corrected and kept again. */
async function bench() {
  const store = createMemoryStore({ phrases: [] });
  await store.opened();
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => t,
  });
  const notices = createNotices();
  let ids = 0;
  const parts = { newId: () => `n${ids++}`, now: () => '2026-11-28T12:00:00.000Z' };
  const app = { store, queue, notices, histories: null, ...parts } as unknown as App;
  const [a, b] = [phraseNamed('a', 'As heard'), phraseNamed('b', 'Other')];
  const kept = new KeptBefore();
  /** Under which ids what goes along with them was kept, each time. */
  const along: string[][] = [];
  /** Of which ids what went along before was put back, each time. */
  const backAlong: (readonly string[])[] = [];
  const keep = (...some: Phrase[]) =>
    keepCaught(app, some, new Map(), kept, async (ids) => {
      along.push(some.map((p) => ids.get(p)!));
      return async (of) => {
        backAlong.push(of);
      };
    });
  expect(await keep(a, b)).toBe(true);
  expect(await keep(named(a, 'Corrected'), b)).toBe(true);
  const undo = notices
    .list()
    .at(-1)
    ?.actions.find((x) => x.label === 'Undo');
  const takeBack = async () => {
    undo?.run();
    await new Promise((resolve) => setTimeout(resolve, 10));
  };
  const titles = () => store.snapshot().phrases.map((p) => p.peek()!.meta.title);
  return { app, a, b, keep, along, backAlong, takeBack, titles };
}

it('brings up to date what was kept and corrected since, and goes back from that', async () => {
  const { backAlong, takeBack, titles } = await bench();
  expect(titles().sort()).toEqual(['Corrected', 'Other']);
  expect(backAlong).toEqual([]);
  await takeBack();
  expect(titles().sort()).toEqual(['As heard', 'Other']);
  // How it was played is as it was then, too; the other one was not corrected.
  expect(backAlong).toEqual([['a']]);
});

it('leaves what was changed in the library meanwhile, and what was done to it, as it is', async () => {
  const { app, backAlong, takeBack, titles } = await bench();
  const edits = editsOf(app);
  const now = edits.phrase('a')!;
  const note = { command: 'phrase.title', label: 'the title' };
  edits.change(startEditing(now), startEditing(named(now, 'My own')), note);
  await takeBack();
  await app.queue.flush();
  expect(titles().sort()).toEqual(['My own', 'Other']);
  expect(backAlong).toEqual([]);
  const last = edits.lastStep('a');
  expect(last && undoWords(last)).toBe('Undo the title');
  const told = app.notices.list().map((n) => [n.kind, n.text]);
  expect(told.at(-1)).toEqual(['trouble', 'They were not put back as they were kept before.']);
  expect(told.filter(([kind]) => kind === 'offer')).toEqual([]);
});

it('puts back what went along where what came with it could not be kept', async () => {
  const { app, a, keep, backAlong, titles } = await bench();
  Object.assign(app.store, { saveAll: async () => ({ kind: 'quota', usage: null, quota: null }) });
  expect(await keep(named(a, 'Once more'), phraseNamed('c', 'New'))).toBe(false);
  expect(titles().sort()).toEqual(['Corrected', 'Other']);
  expect(backAlong).toEqual([['a']]);
});

it('keeps once more beside it what was taken out, or went its own way', async () => {
  const { app, a, keep, titles } = await bench();
  await app.store.remove(['b']);
  await app.store.save(named(a, 'Elsewhere'), app.store.phrase('a')!.revision);
  expect(await keep(named(a, 'Again'))).toBe(true);
  expect(titles().sort()).toEqual(['Again', 'Elsewhere']);
});

it('keeps what goes along under the ids of the library, also where a phrase is kept once more', async () => {
  const { app, a, b, keep, along } = await bench();
  expect(along).toEqual([
    ['a', 'b'],
    ['a', 'b'],
  ]);
  await app.store.remove(['a']);
  expect(await keep(a, b)).toBe(true);
  const here = app.store.snapshot().phrases.map((p) => p.id);
  const [ofA, ofB] = along[2]!;
  expect([here.includes(ofA!), ofA === 'a', ofB]).toEqual([true, false, 'b']);
});
