import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { factsOf } from '../../src/core/library/facts';
import { compareTitles } from '../../src/core/library/sort';
import { newPlan } from '../../src/core/plan/edit';
import { PHRASES, PLANS } from '../../src/io/kinds/kinds';
import { closeFacts, openFacts } from '../../src/storage/facts-shelf';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import type { Front, LibraryStore } from '../../src/storage/types';
import { runs } from '../support/thorough';
import { freshBrowser, phraseNamed, promised, rawDatabase, saved } from './support';
import '../../src/io/kinds/checks-at-hand';

/* How a long list begins is known before the library is open; it is right or it is not known. */

const box = freshBrowser();
afterEach(() => closeFacts(`${DATABASE}-facts`));

/** A window that treats any library as a large one, and how the list began while it opened. */
async function large(): Promise<{ readonly store: LibraryStore; readonly early: Front | null }> {
  const store = box.browser.window(UPGRADES, idbBackend(DATABASE, UPGRADES, null, 0));
  let early: Front | null = null;
  const stop = store.subscribe(() => {
    const { state, front } = store.snapshot();
    if (state === 'opening') early = front ?? early;
  });
  expect(await store.opened()).toBe('ready');
  stop();
  return { store, early };
}

async function first(store: LibraryStore) {
  const { phrases } = store.snapshot();
  const loaded = await store.loadAll(phrases.map((p) => p.id));
  const known = loaded.map(({ id, sum, phrase }) => ({ id, sum, facts: factsOf(phrase) }));
  return known.sort((a, b) => compareTitles(a.facts, b.facts));
}

/** As the page of the library does once its list is in order. */
async function show(store: LibraryStore): Promise<void> {
  const { phrases } = store.snapshot();
  store.keepFront(phrases, (await first(store)).slice(0, 36));
}

/** Resolves when what is kept is that of the log's end. */
async function kept(): Promise<void> {
  const last = async () => {
    const db = await promised(indexedDB.open(DATABASE));
    const keys = await promised(db.transaction('heads').objectStore('heads').getAllKeys());
    db.close();
    return keys.at(-1);
  };
  const row = async () => {
    const facts = await openFacts(`${DATABASE}-facts`);
    const text = (await facts.get('blocks', 0))?.text ?? 'null';
    return (JSON.parse(text) as { end: { row: number } } | null)?.end.row;
  };
  await expect.poll(async () => (await row()) === (await last()), { timeout: 4_000 }).toBe(true);
}

const bundle = (n: number) =>
  Array.from({ length: n }, (_, i) => phraseNamed(`p${i}`, `Number ${i}`));

async function agrees(early: Front | null, store: LibraryStore): Promise<void> {
  if (early === null) return;
  const all = await first(store);
  expect(early.total).toBe(all.length);
  expect(early.facts).toEqual(all.slice(0, early.facts.length).map((f) => f.facts));
  expect(early.phrases.map((p) => p.peek())).toEqual(
    await Promise.all(
      all.slice(0, early.phrases.length).map(async (f) => (await store.load(f.id))?.phrase),
    ),
  );
}

describe('how a long list begins', () => {
  it('is known before the library is open, and follows edits made on any page', async () => {
    const { store } = await large();
    await store.add(bundle(60));
    await show(store);
    await kept();
    await store.close();
    const { store: second, early } = await large();
    expect(early?.total).toBe(60);
    expect(early?.phrases.map((p) => p.identity.title)).toEqual(
      Array.from({ length: 12 }, (_, i) => `Number ${i}`),
    );
    await agrees(early, second);
    // What was shown early is what is there later.
    expect(second.phrase('p3')?.peek()).toBe(early?.phrases[3]?.peek());
    expect(second.snapshot().front?.total).toBe(60);
    await saved(second, phraseNamed('new', 'Anchor'), null);
    expect(second.snapshot().front?.phrases[0]?.id).toBe('new');
    await second.remove(['p1']);
    await kept();
    // Another kind of thing moves the log's end, too.
    const lesson = { id: 'l', meta: { title: 'Week', created: 'x', modified: 'x' } };
    const birth = { id: 'plan', now: '2026-03-01T10:00:00Z', day: '2026-03-01', seed: 1 };
    expect(await second.of(PLANS).save(newPlan(lesson, birth), null)).toMatchObject({
      kind: 'saved',
    });
    await kept();
    await second.close();
    const { store: third, early: later } = await large();
    expect(later?.total).toBe(60);
    expect(later?.phrases.slice(0, 3).map((p) => p.id)).toEqual(['new', 'p0', 'p2']);
    await agrees(later, third);
  });

  it('can be worked with before the library is open', async () => {
    const { store } = await large();
    await store.add(bundle(40));
    await show(store);
    await kept();
    await store.close();
    const next = box.browser.window(UPGRADES, idbBackend(DATABASE, UPGRADES, null, 0));
    const shown = new Promise<readonly string[]>((resolve) => {
      next.subscribe(() => {
        const { state, front } = next.snapshot();
        if (state === 'opening' && front !== null) resolve(front.phrases.map((p) => p.id));
      });
    });
    const ids = await shown;
    expect(next.snapshot().state).toBe('opening');
    const read = next.loadAll(ids);
    const removed = next.remove(ids.slice(0, 1));
    expect((await read).map((s) => s.id)).toEqual(ids);
    expect(await removed).toEqual({ kind: 'done', ids: ids.slice(0, 1) });
  });

  it('is not believed where a kill, a deletion or damage came between', async () => {
    const { store } = await large();
    await store.add(bundle(40));
    await show(store);
    await kept();
    const opened = async () => {
      const { store: next, early } = await large();
      await agrees(early, next);
      await next.close();
      return early;
    };
    expect(await opened()).not.toBeNull();
    // Written without the beginning being kept: as after a kill.
    const killed = box.browser.window(UPGRADES, withoutKeeping());
    await killed.opened();
    await killed.remove(['p39']);
    await killed.close();
    await store.refresh();
    await kept();
    expect((await opened())?.total).toBe(39);
    await store.things.forget([{ kind: PHRASES, id: 'p39' }]);
    await rawDatabase('readwrite', (r) => r.put({ id: 'p0', revision: 1, text: '{"title":' }));
    expect(await opened()).toBeNull();
    const facts = await promised(indexedDB.open(`${DATABASE}-facts`));
    const blocks = facts.transaction('blocks', 'readwrite').objectStore('blocks');
    await promised(blocks.put({ version: 1, text: '{"end":' }, 0));
    facts.close();
    expect(await opened()).toBeNull();
  });

  it('is right or not known, whatever was done in which window (property)', async () => {
    const id = fc.constantFrom('a', 'b', 'c', 'd', 'e');
    const act = fc.record({
      // In a window that keeps the beginning, or in one that is killed before it does.
      kept: fc.boolean(),
      do: fc.constantFrom('save', 'save', 'remove', 'restore', 'forget', 'open'),
      id,
      n: fc.nat(9),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(act, { minLength: 6, maxLength: 14 }), async (acts) => {
        await closeFacts(`${DATABASE}-facts`);
        await promised(indexedDB.deleteDatabase(`${DATABASE}-facts`));
        await promised(indexedDB.deleteDatabase(DATABASE));
        const { store: keeps } = await large();
        await keeps.add(bundle(14));
        await show(keeps);
        await kept();
        const killed = box.browser.window(UPGRADES, withoutKeeping());
        await killed.opened();
        for (const a of acts) {
          const store = a.kept ? keeps : killed;
          await store.refresh();
          const base = store.phrase(a.id)?.revision ?? null;
          if (a.do === 'save') await store.save(phraseNamed(a.id, `Mole ${a.n}`), base);
          else if (a.do === 'forget') await store.things.forget([{ kind: PHRASES, id: a.id }]);
          else if (a.do !== 'open') await store[a.do]([a.id]);
          else if (a.n < 5) await kept().catch(() => undefined);
          if (a.do !== 'open') continue;
          const { store: next, early } = await large();
          await agrees(early, next);
          await next.close();
        }
        const { store: last, early } = await large();
        await agrees(early, last);
        for (const s of [last, keeps, killed]) await s.close();
      }),
      { numRuns: runs(3, 60) },
    );
  });
});

function withoutKeeping() {
  const backend = idbBackend(DATABASE, UPGRADES, null, 0);
  backend.keepFront = async () => {};
  return backend;
}
