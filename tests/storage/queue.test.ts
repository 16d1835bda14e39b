import { beforeEach, describe, expect, it } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { createMemoryStore, type LibraryStore, type Refusal } from '../../src/storage';
import { createSaveQueue } from '../../src/storage/queue';
import { freshBrowser, NOW, phraseNamed, saved, storedIn, titles } from './support';

const box = freshBrowser();

/** Time that passes when told to. */
class Clock {
  now = NOW;
  private timers: { at: number; run: () => void }[] = [];

  after = (ms: number, run: () => void) => {
    const timer = { at: this.now + ms, run };
    this.timers.push(timer);
    return () => {
      this.timers = this.timers.filter((t) => t !== timer);
    };
  };

  pass(ms: number): void {
    this.now += ms;
    const due = this.timers.filter((t) => t.at <= this.now);
    this.timers = this.timers.filter((t) => t.at > this.now);
    for (const t of due.sort((a, b) => a.at - b.at)) t.run();
  }
}

let clock = new Clock();
beforeEach(() => {
  clock = new Clock();
});

function queueOf(store: LibraryStore) {
  let ids = 0;
  return createSaveQueue(store, {
    now: () => clock.now,
    newId: () => `mine-${++ids}`,
    after: clock.after,
    copyTitle: (title) => `${title}, again`,
  });
}

/** A library with one phrase 'a', its queue, and every title that is written. */
async function desk() {
  const store = await box.browser.ready();
  const a = await saved(store, phraseNamed('a', 'Quay'), null);
  const written: string[] = [];
  const all = store.of(PHRASES);
  const save = all.save.bind(all);
  all.save = (phrase, base) => {
    written.push(phrase.meta.title);
    return save(phrase, base);
  };
  return { store, a, written, queue: queueOf(store) };
}

describe('edits', () => {
  it('that follow each other are written once, after a pause', async () => {
    const { store, a, written, queue } = await desk();
    const drafts = ['Q', 'Qu', 'Qua'].map((t) => phraseNamed('a', t));
    for (const draft of drafts) {
      queue.edit(draft, a.revision);
      expect(queue.status('a')).toEqual({ kind: 'unsaved', draft });
      expect(queue.status('a')).toBe(queue.status('a'));
      clock.pass(399);
    }
    expect(written).toEqual([]);
    expect(queue.unsaved()).toBe(true);
    clock.pass(1);
    expect(queue.status('a')).toEqual({ kind: 'saving', draft: drafts[2] });
    expect(queue.unsaved()).toBe(true);
    await queue.flush();
    expect(written).toEqual(['Qua']);
    expect(queue.status('a')).toEqual({ kind: 'saved' });
    expect(queue.unsaved()).toBe(false);
    expect(storedIn(store, 'a').phrase).toBe(drafts[2]);
  });

  it('without a pause are written after two seconds', async () => {
    const { a, written, queue } = await desk();
    for (let i = 1; i <= 24; i++) {
      queue.edit(phraseNamed('a', `Title ${i}`), a.revision);
      clock.pass(100);
      await queue.status('a');
    }
    await queue.flush();
    expect(written).toEqual(['Title 20', 'Title 24']);
  });

  it('during a write wait for it, and are made from what it wrote', async () => {
    const { store, a, written, queue } = await desk();
    queue.edit(phraseNamed('a', 'First'), a.revision);
    const first = queue.flush();
    queue.edit(phraseNamed('a', 'Second'), a.revision);
    queue.edit(phraseNamed('a', 'Third'), a.revision);
    expect(queue.status('a')).toMatchObject({ kind: 'unsaved' });
    await first;
    expect(written).toEqual(['First']);
    expect(titles(store)).toEqual({ a: 'First' });
    expect(queue.status('a')).toMatchObject({
      kind: 'unsaved',
      draft: { meta: { title: 'Third' } },
    });
    clock.pass(400);
    await queue.flush();
    expect(written).toEqual(['First', 'Third']);
    expect(titles(store)).toEqual({ a: 'Third' });
    expect(queue.status('a')).toEqual({ kind: 'saved' });
  });

  it('made from a revision that this window itself has written over are no conflict', async () => {
    const { store, a, queue } = await desk();
    for (const title of ['One', 'Two', 'Three']) {
      queue.edit(phraseNamed('a', title), a.revision);
      await queue.flush();
      expect(queue.status('a')).toEqual({ kind: 'saved' });
    }
    expect(titles(store)).toEqual({ a: 'Three' });
  });

  it('of several phrases do not wait for each other, and of a new one have no base', async () => {
    const { store, a, queue } = await desk();
    queue.edit(phraseNamed('a', 'Quay wall'), a.revision);
    queue.edit(phraseNamed('b', 'Jetty'), null);
    await queue.flush();
    expect(titles(store)).toEqual({ a: 'Quay wall', b: 'Jetty' });
  });

  it('tell the listeners, until they have gone', async () => {
    const { a, queue } = await desk();
    const heard: string[] = [];
    const stop = queue.subscribe(() => heard.push(queue.status('a').kind));
    queue.edit(phraseNamed('a', 'One'), a.revision);
    await queue.flush();
    stop();
    queue.edit(phraseNamed('a', 'Two'), a.revision);
    expect(heard).toEqual(['unsaved', 'saving', 'saved']);
    await queue.flush();
  });
});

describe('closing', () => {
  it('writes what waits, with what came during a write', async () => {
    const { store, a, queue } = await desk();
    queue.edit(phraseNamed('a', 'First'), a.revision);
    void queue.flush();
    queue.edit(phraseNamed('a', 'Last'), a.revision);
    await store.close();
    expect(titles(await box.browser.ready())).toEqual({ a: 'Last' });
  });
});

describe('another window', () => {
  it('that edited the same phrase: both are kept, mine as a child of it', async () => {
    const { store, a, queue } = await desk();
    const other = await box.browser.ready();
    await saved(other, phraseNamed('a', 'Theirs'), a.revision);
    queue.edit({ ...phraseNamed('a', 'Mine'), marks: [] }, a.revision);
    await queue.flush();
    const status = queue.status('a');
    expect(status).toMatchObject({
      kind: 'kept both',
      theirs: { phrase: { id: 'a', meta: { title: 'Theirs' } } },
      mine: {
        phrase: {
          id: 'mine-1',
          parent: 'a',
          meta: { title: 'Mine, again', created: '2026-03-01T00:00:00.000Z' },
        },
      },
    });
    expect(titles(store)).toEqual({ a: 'Theirs', 'mine-1': 'Mine, again' });
    expect(titles(await box.browser.ready())).toEqual(titles(store));
    expect(queue.unsaved()).toBe(false);
    queue.dismiss('a');
    expect(queue.status('a')).toEqual({ kind: 'saved' });
  });

  it('edits that go on go to mine; those made from theirs go to theirs', async () => {
    const { store, a, queue } = await desk();
    const other = await box.browser.ready();
    const theirs = await saved(other, phraseNamed('a', 'Theirs'), a.revision);
    queue.edit(phraseNamed('a', 'Mine'), a.revision);
    const writing = queue.flush();
    queue.edit({ ...phraseNamed('a', 'Mine'), tempo: { bpm: 61, unit: 'quarter' } }, a.revision);
    await writing;
    await queue.flush();
    expect(storedIn(store, 'mine-1').phrase).toMatchObject({
      tempo: { bpm: 61 },
      parent: 'a',
      meta: { title: 'Mine, again' },
    });
    queue.edit(phraseNamed('a', 'Mine with a name'), a.revision);
    await queue.flush();
    expect(titles(store)).toEqual({ a: 'Theirs', 'mine-1': 'Mine with a name' });
    queue.edit(phraseNamed('a', 'Theirs, mended'), theirs.revision);
    await queue.flush();
    expect(titles(store)).toEqual({ a: 'Theirs, mended', 'mine-1': 'Mine with a name' });
  });

  it('whose version is edited the moment both are shown: it is that version’s edit', async () => {
    const { store, a, queue } = await desk();
    const other = await box.browser.ready();
    const theirs = await saved(other, phraseNamed('a', 'Theirs'), a.revision);
    const stop = queue.subscribe(() => {
      if (queue.status('a').kind !== 'kept both') return;
      stop();
      queue.edit(phraseNamed('a', 'Theirs, mended'), theirs.revision);
    });
    queue.edit(phraseNamed('a', 'Mine'), a.revision);
    await queue.flush();
    await queue.flush();
    expect(titles(store)).toEqual({ a: 'Theirs, mended', 'mine-1': 'Mine, again' });
  });

  it('that made the very same edit is no conflict', async () => {
    const { store, a, queue } = await desk();
    const other = await box.browser.ready();
    await saved(other, phraseNamed('a', 'Same'), a.revision);
    queue.edit(phraseNamed('a', 'Same'), a.revision);
    await queue.flush();
    expect(queue.status('a')).toEqual({ kind: 'saved' });
    expect(titles(store)).toEqual({ a: 'Same' });
  });

  it('that removed the phrase: it is back as edited, and the page is told', async () => {
    const { store, a, queue } = await desk();
    const other = await box.browser.ready();
    await other.remove(['a']);
    queue.edit(phraseNamed('a', 'Mine'), a.revision);
    await queue.flush();
    expect(queue.status('a')).toMatchObject({
      kind: 'kept removed',
      stored: { phrase: { meta: { title: 'Mine' } } },
    });
    expect(titles(store)).toEqual({ a: 'Mine' });
    queue.dismiss('a');
    expect(queue.status('a')).toEqual({ kind: 'saved' });
  });

  it('under whose hands the record went bad: the draft stays, and nothing is written over', async () => {
    const store = createMemoryStore({ damaged: { a: '{}' } });
    await store.opened();
    const queue = queueOf(store);
    const draft = phraseNamed('a', 'Mine');
    queue.edit(draft, 1);
    await queue.flush();
    expect(queue.status('a')).toMatchObject({
      kind: 'refused',
      draft,
      refusal: { kind: 'damaged' },
    });
    expect(store.snapshot().problems).toHaveLength(1);
  });
});

describe('a refusal', () => {
  const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };

  async function narrow() {
    let refusal: Refusal | null = full;
    const store = createMemoryStore({ refuse: () => refusal });
    await store.opened();
    return {
      store,
      queue: queueOf(store),
      room: () => {
        refusal = null;
      },
    };
  }

  it('keeps the draft, and it can be tried again', async () => {
    const { store, queue, room } = await narrow();
    const draft = phraseNamed('a', 'Quay');
    queue.edit(draft, null);
    await queue.flush();
    expect(queue.status('a')).toEqual({ kind: 'refused', draft, refusal: full });
    expect(queue.unsaved()).toBe(true);
    await queue.retry('a');
    expect(queue.status('a')).toMatchObject({ kind: 'refused' });
    room();
    await queue.retry('a');
    expect(queue.status('a')).toEqual({ kind: 'saved' });
    expect(titles(store)).toEqual({ a: 'Quay' });
  });

  it('is tried again with the next edit', async () => {
    const { store, queue, room } = await narrow();
    queue.edit(phraseNamed('a', 'Quay'), null);
    await queue.flush();
    room();
    queue.edit(phraseNamed('a', 'Quay wall'), null);
    clock.pass(400);
    await queue.flush();
    expect(titles(store)).toEqual({ a: 'Quay wall' });
    expect(queue.unsaved()).toBe(false);
  });

  it('shows the newest draft where one came during the write', async () => {
    const { queue } = await narrow();
    queue.edit(phraseNamed('a', 'Quay'), null);
    const writing = queue.flush();
    const newer = phraseNamed('a', 'Quay wall');
    queue.edit(newer, null);
    await writing;
    expect(queue.status('a')).toEqual({ kind: 'refused', draft: newer, refusal: full });
  });

  it('can be given up', async () => {
    const { queue } = await narrow();
    queue.edit(phraseNamed('a', 'Quay'), null);
    await queue.flush();
    queue.abandon('a');
    expect(queue.status('a')).toEqual({ kind: 'saved' });
    expect(queue.unsaved()).toBe(false);
  });

  it('of the second version keeps the draft too', async () => {
    const store = await box.browser.ready();
    const a = await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('a', 'Theirs'), a.revision);
    const all = store.of(PHRASES);
    const save = all.save.bind(all);
    all.save = async (p, base) => (p.id === 'a' ? save(p, base) : full);
    const queue = queueOf(store);
    const draft = phraseNamed('a', 'Mine');
    queue.edit(draft, a.revision);
    await queue.flush();
    expect(queue.status('a')).toEqual({ kind: 'refused', draft, refusal: full });
    all.save = save;
    await queue.retry('a');
    expect(queue.status('a')).toMatchObject({ kind: 'kept both' });
    expect(titles(store)).toEqual({ a: 'Theirs', 'mine-2': 'Mine, again' });
  });

  it('because the library is not yet open is mended by its opening', async () => {
    const store = box.browser.window();
    const queue = queueOf(store);
    queue.edit(phraseNamed('a', 'Quay'), null);
    await queue.flush();
    expect(queue.status('a')).toMatchObject({
      kind: 'refused',
      refusal: { kind: 'not ready', state: 'opening' },
    });
    await new Promise<void>((resolve) => {
      queue.subscribe(() => {
        if (queue.status('a').kind === 'saved') resolve();
      });
    });
    expect(titles(store)).toEqual({ a: 'Quay' });
  });
});
