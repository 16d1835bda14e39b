import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { PHRASES } from '../../src/io/kinds/kinds';
import { createMemoryStore, type KindStore, type LibraryStore } from '../../src/storage';
import {
  clearArrived,
  comeBack,
  leaveBehind,
  type Shelf,
  takeUp,
} from '../../src/storage/left-behind';
import { createSaveQueue } from '../../src/storage/queue';
import { freshBrowser, NOW, phraseNamed, saved, storedIn, titles } from './support';

const box = freshBrowser();

/** A shelf that outlives the page. */
function memoryShelf(): Shelf & { readonly all: Map<string, string> } {
  const all = new Map<string, string>();
  return {
    all,
    names: () => [...all.keys()],
    read: (name) => all.get(name) ?? null,
    write: (name, text) => {
      all.set(name, text);
      return true;
    },
    remove: (name) => {
      all.delete(name);
    },
  };
}

function queueOf(store: LibraryStore) {
  let ids = 0;
  return createSaveQueue(store, {
    now: () => NOW,
    newId: () => `second-${++ids}`,
    after: () => () => undefined,
    copyTitle: (title) => `${title}, again`,
  });
}

/** A phrase whose every version was changed at a moment of its own. */
function version(title: string, second: number) {
  const p = phraseNamed('a', title);
  const modified = new Date(NOW + second * 1_000).toISOString();
  return { ...p, meta: { ...p.meta, modified } };
}

const never = () => new Promise<never>(() => undefined);

/** A library as a page has it that goes away: nobody waits for its writes. */
function seenBy(store: LibraryStore, save: KindStore<Phrase>['save']): LibraryStore {
  const phrases = Object.assign(Object.create(store.of(PHRASES)), { save });
  return Object.assign(Object.create(store) as LibraryStore, {
    of: () => phrases,
    onClosing: () => undefined,
    snapshot: () => store.snapshot(),
    subscribe: (listener: () => void) => store.subscribe(listener),
  });
}

/**
 * A page with one phrase on the disk that goes away while edits are on their way.
 * @param arrives Whether the write that has begun comes to its end.
 */
async function goneAway(arrives: boolean, edits: readonly string[]) {
  const shelf = memoryShelf();
  const store = await box.browser.ready();
  const first = await saved(store, version('One', 0), null);
  let gone = false;
  // Of the writes of a page that has gone the first may still arrive, unheard, and none begins.
  const queue = queueOf(
    seenBy(store, async (phrase, base) => {
      if (gone || !arrives) return never();
      const result = await store.of(PHRASES).save(phrase, base);
      return gone ? never() : result;
    }),
  );
  edits.forEach((title, i) => {
    queue.edit(version(title, i + 1), first.revision);
    if (i === 0) void queue.flush();
  });
  leaveBehind(store, queue, shelf);
  gone = true;
  await new Promise((resolve) => setTimeout(resolve, 30));
  return shelf;
}

async function openAgain(shelf: Shelf) {
  const store = await box.browser.ready();
  const queue = queueOf(store);
  const taken = await takeUp(store, queue, shelf);
  return { store, queue, taken };
}

describe('what a page leaves behind', () => {
  it.each([
    ['no write has begun', false, ['Two']],
    ['the write that had begun arrives', true, ['Two', 'Three']],
    ['the write that had begun does not arrive', false, ['Two', 'Three', 'Four']],
  ] as const)('is taken up where %s', async (_, arrives, edits) => {
    const shelf = await goneAway(arrives, edits);
    const { store, taken } = await openAgain(shelf);
    expect(titles(store)).toEqual({ a: edits.at(-1) });
    expect(taken).toBe(1);
    expect(shelf.all.size).toBe(0);
  });

  it('is nothing where everything had arrived', async () => {
    const shelf = await goneAway(true, ['Two']);
    expect(shelf.all.size).toBe(1);
    const { store, taken } = await openAgain(shelf);
    expect([titles(store), taken, shelf.all.size]).toEqual([{ a: 'Two' }, 0, 0]);
  });

  it('and what another window wrote meanwhile are both kept', async () => {
    const shelf = await goneAway(false, ['Two']);
    const other = await box.browser.ready();
    const { revision } = storedIn(other, 'a');
    await saved(other, version('Theirs', 9), revision);
    const { store } = await openAgain(shelf);
    expect(titles(store)).toEqual({ a: 'Theirs', 'second-1': 'Two, again' });
    expect(shelf.all.size).toBe(0);
  });

  it('is a new phrase where it had never been on the disk', async () => {
    const shelf = memoryShelf();
    const store = await box.browser.ready();
    const queue = queueOf(seenBy(store, never));
    queue.edit(version('New', 1), null);
    leaveBehind(store, queue, shelf);
    const next = await openAgain(shelf);
    expect(titles(next.store)).toEqual({ a: 'New' });
  });

  it('stays on the shelf where it cannot be read or written, and does no harm', async () => {
    const shelf = await goneAway(false, ['Two']);
    shelf.write('degreewise.left-behind.b', '{"base":1,"underWay":null,"json":"{}"}');
    shelf.write('degreewise.left-behind.c', 'no JSON');
    shelf.write('something else', 'x');
    const { store } = await openAgain(shelf);
    expect(titles(store)).toEqual({ a: 'Two' });
    expect([...shelf.all.keys()].sort()).toEqual([
      'degreewise.left-behind.b',
      'degreewise.left-behind.c',
      'something else',
    ]);
  });

  it('is its own again where the page comes back', async () => {
    const shelf = memoryShelf();
    const store = await box.browser.ready();
    const queue = queueOf(store);
    queue.edit(version('Two', 1), null);
    leaveBehind(store, queue, shelf);
    expect(shelf.all.size).toBe(1);
    comeBack(queue, shelf);
    expect(shelf.all.size).toBe(0);
    await queue.flush();
    expect(titles(store)).toEqual({ a: 'Two' });
    leaveBehind(store, queue, shelf);
    expect(shelf.all.size).toBe(0);
  });

  it('is gone where its write arrives while the page is out of sight', async () => {
    const shelf = memoryShelf();
    const store = await box.browser.ready();
    const queue = queueOf(store);
    queue.edit(version('Two', 1), null);
    leaveBehind(store, queue, shelf);
    await queue.flush();
    comeBack(queue, shelf);
    expect(shelf.all.size).toBe(0);
    await store.remove(['a']);
    const next = await openAgain(shelf);
    expect(titles(next.store)).toEqual({});
  });

  it.each(['given up', 'written at last'])('and was refused is gone when it is %s', async (how) => {
    const shelf = await goneAway(false, ['Two']);
    const store = await box.browser.ready();
    let full = true;
    const queue = queueOf(
      seenBy(store, async (phrase, base) =>
        full ? { kind: 'quota', usage: null, quota: null } : store.of(PHRASES).save(phrase, base),
      ),
    );
    await takeUp(store, queue, shelf);
    expect(shelf.all.size).toBe(1);
    full = false;
    if (how === 'given up') queue.abandon('a');
    else await queue.retry('a');
    expect(shelf.all.size).toBe(0);
    expect(titles(store)).toEqual({ a: how === 'given up' ? 'One' : 'Two' });
  });

  it('does not come back after another window has seen it arrive and gone on', async () => {
    const shelf = await goneAway(true, ['Two']);
    expect(shelf.all.size).toBe(1);
    const other = await box.browser.ready();
    await clearArrived(other, shelf);
    await saved(other, version('Three', 3), storedIn(other, 'a').revision);
    await clearArrived(other, shelf);
    const { store } = await openAgain(shelf);
    expect(titles(store)).toEqual({ a: 'Three' });
  });

  it('is not cleared by another window before it has arrived', async () => {
    const shelf = await goneAway(false, ['Two']);
    await clearArrived(await box.browser.ready(), shelf);
    expect(shelf.all.size).toBe(1);
  });

  it('is nothing where the library lasts no longer than the window', () => {
    const shelf = memoryShelf();
    const store = createMemoryStore();
    const queue = queueOf(store);
    queue.edit(version('Two', 1), null);
    leaveBehind(store, queue, shelf);
    expect(shelf.all.size).toBe(0);
  });
});
