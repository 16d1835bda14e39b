import 'fake-indexeddb/auto';
import { openDB } from 'idb';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { SITTING } from '../../src/core/library/versions';
import type { Phrase } from '../../src/core/phrase/types';
import { KEPT_VERSIONS } from '../../src/io/kinds/file-kinds';
import { PHRASES } from '../../src/io/kinds/kinds';
import { createMemoryStore } from '../../src/storage';
import { versionsLater } from '../../src/storage/later-versions';
import { pruneLeftOver } from '../../src/storage/prune-left-over';
import type { LibraryStore } from '../../src/storage/types';
import { openVersions } from '../../src/storage/version-store';
import type { VersionKeeper } from '../../src/storage/versions';
import { freshBrowser, NOW, phraseNamed, saved } from './support';

const NAME = 'degreewise-versions';
const DAY = 24 * 60 * 60 * 1000;
const box = freshBrowser();
let open: VersionKeeper[] = [];

afterEach(async () => {
  await Promise.all(open.map((v) => v.close()));
  open = [];
});

function keeper(): VersionKeeper {
  const made = openVersions(NAME);
  open.push(made);
  return made;
}

/** The phrase as it stood at a time, with that time for a title. */
function at(id: string, time: number, title = `at ${time - NOW}`): Phrase {
  const phrase = phraseNamed(id, title);
  return { ...phrase, meta: { ...phrase.meta, modified: new Date(time).toISOString() } };
}

const textOf = (p: Phrase) => ({ id: p.id, text: JSON.stringify(p) });
const titles = async (v: VersionKeeper, id: string) =>
  (await v.list(PHRASES, id)).map((x) => x.value.meta.title);

describe('earlier versions of phrases', () => {
  it('keeps what had stood before each sitting, not every key of it', async () => {
    const v = keeper();
    v.replaced([textOf(at('a', NOW - DAY))], NOW);
    for (let s = 1; s <= 5; s++)
      v.replaced([textOf(at('a', NOW + s * 1000))], NOW + s * 1000 + 400);
    const later = NOW + 2 * SITTING;
    v.replaced([textOf(at('a', NOW + 6000))], later);
    // Of one sitting that goes on and on, one each ten minutes.
    for (let m = 1; m <= 21; m++) {
      const time = later + m * 60_000;
      v.replaced([textOf(at('a', time))], time + 400);
    }
    expect(await titles(v, 'a')).toEqual([
      `at ${2 * SITTING + 20 * 60_000}`,
      `at ${2 * SITTING + 10 * 60_000}`,
      'at 6000',
      `at ${-DAY}`,
    ]);
    // Another window goes on where this one was.
    const other = keeper();
    other.replaced([textOf(at('a', later + 22 * 60_000))], later + 22 * 60_000 + 10);
    expect(await other.list(PHRASES, 'a')).toHaveLength(4);
  });

  it('keeps one before a restore whenever that is, once', async () => {
    const v = keeper();
    v.replaced([textOf(at('a', NOW - DAY))], NOW);
    const before = at('a', NOW + 500);
    await v.keep(PHRASES, before, 'restore', NOW + 1000);
    v.replaced([textOf(before)], NOW + 1001);
    expect((await v.list(PHRASES, 'a')).map((x) => [x.value.meta.title, x.why])).toEqual([
      ['at 500', 'restore'],
      [`at ${-DAY}`, 'edit'],
    ]);
    expect(await v.list(PHRASES, 'b')).toEqual([]);
  });

  it('leaves out what is damaged, and what is older than the format migrates', async () => {
    const v = keeper();
    v.replaced([textOf(at('a', NOW - DAY)), textOf(at('b', NOW - DAY))], NOW);
    await v.list(PHRASES, 'a');
    const db = await openDB(NAME, 1);
    const [key] = await db.getAllKeys('versions');
    const record = (await db.get('versions', key!)) as { text: string };
    await db.put('versions', { ...record, kept: NOW + 1, text: record.text.slice(0, -40) });
    await db.put('versions', { id: 'a', kept: NOW + 2, made: 3, why: 7 });
    db.close();
    expect(await titles(v, 'a')).toEqual([`at ${-DAY}`]);
    expect(await titles(v, 'b')).toEqual([`at ${-DAY}`]);
  });

  it('goes with the phrase for good, and only then', async () => {
    const v = keeper();
    v.replaced(
      ['a', 'b', 'c'].map((id) => textOf(at(id, NOW - DAY))),
      NOW,
    );
    v.forget(['b']);
    await v.prune(new Set(['a']), NOW);
    expect(
      await Promise.all(['a', 'b', 'c'].map((id) => v.list(PHRASES, id).then((l) => l.length))),
    ).toEqual([1, 0, 1]);
    await v.prune(new Set(['a']), NOW + 1);
    expect(await v.list(PHRASES, 'a')).toHaveLength(1);
    expect(await v.list(PHRASES, 'c')).toEqual([]);
  });

  it('costs nothing where nothing is kept, or what keeps it does not come', async () => {
    const failing = versionsLater(NAME, () => Promise.reject(new Error('no network')));
    failing.replaced([textOf(at('a', NOW))], NOW);
    expect(await failing.list(PHRASES, 'a')).toEqual([]);
    await failing.close();
    const never = vi.fn(async () => keeper());
    await versionsLater(NAME, never).close();
    expect(never).not.toHaveBeenCalled();
    vi.stubGlobal('indexedDB', {
      open: () => {
        throw new DOMException('no', 'SecurityError');
      },
    });
    const closed = keeper();
    await closed.keep(PHRASES, at('a', NOW), 'merge', NOW);
    expect(await closed.list(PHRASES, 'a')).toEqual([]);
    vi.unstubAllGlobals();
  });
});

describe('a library with earlier versions', () => {
  it('waits for them in a bulk edit of thousands, so that few are in memory', async () => {
    let waiting = 0;
    let most = 0;
    const versions: VersionKeeper = {
      ...versionsLater(NAME, async () => keeper()),
      replaced: (some) => {
        waiting += some.length;
        most = Math.max(most, waiting);
      },
      settled: async () => {
        waiting = 0;
        return true;
      },
    };
    const phrases = Array.from({ length: 260 }, (_, i) => at(`p${i}`, NOW - DAY));
    const store = createMemoryStore({ phrases, versions });
    await store.opened();
    for (let round = 0; round < 3; round++) {
      const items = phrases.map(({ id }) => {
        return { phrase: at(id, NOW + round), base: store.phrase(id)!.revision };
      });
      expect((await store.saveAll(items)).kind).toBe('saved');
    }
    expect(most).toBe(520);
  });

  it('does not wait for ever where the browser never answers', async () => {
    const versions: VersionKeeper = {
      ...versionsLater(NAME, async () => keeper()),
      replaced: () => undefined,
      settled: () => new Promise(() => undefined),
    };
    const phrases = Array.from({ length: 512 }, (_, i) => at(`p${i}`, NOW - DAY));
    const store = createMemoryStore({ phrases, versions });
    await store.opened();
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    try {
      const saving = store.saveAll(
        phrases.map(({ id }) => ({ phrase: at(id, NOW), base: store.phrase(id)!.revision })),
      );
      let saved = '';
      void saving.then(({ kind }) => {
        saved = kind;
      });
      for (let s = 0; s < 60 && saved === ''; s++) await vi.advanceTimersByTimeAsync(1_000);
      expect(saved).toBe('saved');
    } finally {
      vi.useRealTimers();
    }
  });

  it('throws none away while the library may be incomplete', async () => {
    const v = keeper();
    v.replaced([textOf(at('a', NOW - DAY))], NOW);
    const much = NOW + 90 * DAY;
    const whole = { problems: [], mishap: null, copy: 'whole' };
    const left = async (said: object) => {
      // What pruning asks of a library.
      const store = {
        snapshot: () => ({ ...whole, ...said }),
        kinds: [],
        things: { removed: () => [] },
      };
      await pruneLeftOver({ ...store, versions: v } as unknown as LibraryStore, much);
      return (await v.list(PHRASES, 'a')).length;
    };
    expect(await left({ mishap: { kind: 'lost' } })).toBe(1);
    expect(await left({ mishap: { kind: 'restored', phrases: 2 } })).toBe(1);
    expect(await left({ copy: 'late' })).toBe(1);
    expect(await left({})).toBe(0);
  });

  it('hands over what a save writes over, and forgets what is deleted for good', async () => {
    const { browser } = box;
    browser.versions = keeper();
    const store = await browser.ready();
    const old = at('a', NOW - DAY, 'old');
    const first = await saved(store, old, null);
    expect(await titles(store.versions!, 'a')).toEqual([]);
    await saved(store, at('a', NOW, 'new'), first.revision);
    // The same again writes nothing.
    await saved(store, at('a', NOW, 'new'), store.phrase('a')!.revision);
    expect(await titles(store.versions!, 'a')).toEqual(['old']);
    // What another had written meanwhile refuses the save, which replaces nothing.
    expect((await store.save(at('a', NOW, 'late'), first.revision)).kind).toBe('conflict');
    await store.remove(['a']);
    await store.restore(['a']);
    expect(await titles(store.versions!, 'a')).toEqual(['old']);
    await store.remove(['a']);
    const names = store.things.removed();
    await store.things.forget(names);
    expect(await titles(store.versions!, 'a')).toEqual([]);
  });
});

describe('earlier versions in a file', () => {
  const all = async (v: VersionKeeper, ...ids: string[]) => {
    const found = { texts: [] as string[], unread: 0 };
    for await (const { texts, unread } of v.texts(new Set(ids))) {
      found.texts.push(...texts);
      found.unread += unread;
    }
    return found;
  };
  const keptIn = (texts: readonly string[]) =>
    texts.map((text) => {
      const read = KEPT_VERSIONS.decode(text);
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      expect(JSON.stringify(read.value)).toBe(text);
      return read.value;
    });
  const elsewhere = () => {
    const made = openVersions('another-device');
    open.push(made);
    return made;
  };

  const came = async (v: VersionKeeper, texts: readonly string[], now = NOW) => {
    const taken = await v.take(keptIn(texts), now);
    expect(taken.whole).toBe(true);
    return taken.came.length;
  };
  const NONE = { came: [], whole: false };

  it('can be taken back, and leave what was there', async () => {
    const [v, other] = [keeper(), elsewhere()];
    v.replaced([textOf(at('a', NOW - DAY))], NOW);
    for (let d = 9; d > 0; d--) other.replaced([textOf(at('a', NOW - d * DAY))], NOW - d * DAY + 9);
    const mine = await v.list(PHRASES, 'a');
    const taken = await v.take(keptIn((await all(other, 'a')).texts), NOW);
    expect(taken.came.length).toBeGreaterThan(5);
    expect((await v.list(PHRASES, 'a')).length).toBe(mine.length + taken.came.length);
    expect(await v.withdraw(taken.came)).toBe(true);
    expect(await v.list(PHRASES, 'a')).toEqual(mine);
  });

  it('come back whole on another device, once however often they are brought in', async () => {
    const v = keeper();
    for (let d = 40; d > 0; d--) v.replaced([textOf(at('a', NOW - d * DAY - 1))], NOW - d * DAY);
    v.replaced([textOf(at('b', NOW - DAY)), textOf(at('gone', NOW - DAY))], NOW);
    await v.keep(PHRASES, at('a', NOW - 9), 'restore', NOW);
    const { texts, unread } = await all(v, 'a', 'b');
    const list = await v.list(PHRASES, 'a');
    expect([texts.length, unread]).toEqual([list.length + 1, 0]);
    const ab = new Set(['a', 'b']);
    // That of a phrase that is gone is not in the file, and not counted.
    expect(await v.size(ab)).toMatchObject({ versions: texts.length });
    expect((await v.size(ab))!.characters).toBeGreaterThan(texts.length * 100);

    const other = elsewhere();
    expect(await came(other, texts)).toBe(texts.length);
    expect(await other.list(PHRASES, 'a')).toEqual(list);
    expect(await came(other, texts)).toBe(0);
    expect((await all(other, 'a', 'b', 'gone')).texts).toEqual(texts);
    // Brought in a month later they are thinned as they would have been here, and stay so.
    const late = openVersions('a-month-later');
    open.push(late);
    const month = NOW + 40 * DAY;
    expect(await came(late, texts, month)).toBeGreaterThan(5);
    const thin = await titles(late, 'a');
    expect(thin.length).toBeLessThan(list.length);
    await late.take(keptIn(texts), month);
    expect(await titles(late, 'a')).toEqual(thin);
  });

  it('drive out none that is kept here, however many come and whenever they say they are from', async () => {
    const [v, other] = [keeper(), elsewhere()];
    // Of one day long ago one is kept: here the earlier one, there the later one.
    v.replaced([textOf(at('a', NOW - 3 * DAY))], NOW - 3 * DAY + 1);
    for (let d = 40; d > 4; d--) v.replaced([textOf(at('a', NOW - d * DAY - 1))], NOW - d * DAY);
    other.replaced([textOf(at('a', NOW - 3 * DAY + 5))], NOW - 3 * DAY + 2 * SITTING);
    const mine = await titles(v, 'a');
    await v.take(keptIn((await all(other, 'a')).texts), NOW);
    expect(await titles(v, 'a')).toEqual(expect.arrayContaining([...mine]));
    const [one] = keptIn((await all(other, 'a')).texts);
    for (const why of ['edit', 'merge'] as const) {
      const many = Array.from({ length: 200 }, (_, k) => ({
        ...one!,
        why,
        kept: new Date(NOW + 365 * DAY + k * SITTING).toISOString(),
        phrase: at('a', NOW + 365 * DAY + k * SITTING),
      }));
      await v.take(many, NOW);
      expect(await titles(v, 'a')).toEqual(expect.arrayContaining([...mine]));
    }
  });

  it('join what was kept elsewhere: the same content once, whenever something took its place', async () => {
    const [v, other] = [keeper(), elsewhere()];
    v.replaced([textOf(at('a', NOW - DAY))], NOW);
    other.replaced([textOf(at('a', NOW - DAY))], NOW + 5 * SITTING);
    await other.keep(PHRASES, at('a', NOW + 1), 'merge', NOW + 6 * SITTING);
    expect(await came(v, (await all(other, 'a')).texts, NOW + 7 * SITTING)).toBe(1);
    expect(await titles(v, 'a')).toEqual(['at 1', `at ${-DAY}`]);
  });

  it('tell how many cannot be read, and check what another program wrote', async () => {
    const v = keeper();
    v.replaced([textOf(at('a', NOW - DAY)), textOf(at('b', NOW - DAY))], NOW);
    await v.list(PHRASES, 'a');
    const db = await openDB(NAME, 1);
    const [key] = await db.getAllKeys('versions');
    const record = (await db.get('versions', key!)) as { text: string };
    await db.put('versions', { ...record, kept: NOW + 1, text: record.text.slice(0, -40) });
    await db.put('versions', { id: 'a', kept: 1e18, made: 3, why: 'edit', text: record.text });
    await db.put('versions', { ...record, kept: NOW + 2, text: record.text.replace('"a"', '"b"') });
    // As a record of an older version, which has no number of its own.
    const older = record.text.replace('"version":5', '"version":2');
    await db.put('versions', { ...record, kept: NOW + 3, text: older });
    db.close();
    const { texts, unread } = await all(v, 'a', 'b');
    expect([texts.length, unread]).toEqual([3, 3]);
    expect(keptIn(texts).map((k) => k.phrase.version)).toEqual([5, 5, 5]);
  });

  it('never pass for none where they cannot be read or written', async () => {
    const failing = versionsLater(NAME, () => Promise.reject(new Error('no network')));
    await expect(all(failing, 'a')).rejects.toThrow('did not come');
    expect(await failing.size(new Set())).toBeNull();
    expect(await failing.take([], NOW)).toEqual(NONE);
    expect(await failing.withdraw([{ id: 'a', kept: 1, made: 1, why: 'edit' }])).toBe(false);
    const v = keeper();
    await v.close();
    await expect(all(v, 'a')).rejects.toThrow('cannot be read');
    const [kept] = keptIn((await all(await filled(elsewhere()), 'a')).texts);
    expect(await v.take([kept!], NOW)).toEqual(NONE);
  });

  const filled = async (v: VersionKeeper) => {
    v.replaced([textOf(at('a', NOW - DAY))], NOW);
    await v.settled();
    return v;
  };
});
