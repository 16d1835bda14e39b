import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Lesson } from '../../src/core/lesson/types';
import { newCollection } from '../../src/core/library/collection';
import { SITTING } from '../../src/core/library/versions';
import type { RecordHead } from '../../src/core/phrase/record';
import { decodeLesson } from '../../src/io/json/decode-lesson';
import { KEPT_THINGS } from '../../src/io/kinds/file-kinds';
import type { Kind } from '../../src/io/kinds/kind';
import { COLLECTIONS, FORMS, LESSONS, PHRASES, PLANS, USES } from '../../src/io/kinds/kinds';
import type { Backend } from '../../src/storage/backend';
import { idbBackend } from '../../src/storage/idb-backend';
import type { LibraryStore } from '../../src/storage/types';
import { openVersions } from '../../src/storage/version-store';
import type { VersionKeeper } from '../../src/storage/versions';
import { lessonOfEveryKind, OWN_FORM } from '../support/lesson';
import { NO_VERSIONS } from '../support/no-versions';
import { freshBrowser, NOW, phraseNamed, rawDatabase } from './support';

const NAME = 'degreewise-versions';
const box = freshBrowser();
let open: VersionKeeper[] = [];

afterEach(async () => {
  vi.useRealTimers();
  await Promise.all(open.map((v) => v.close()));
  open = [];
});

function keeper(name = NAME): VersionKeeper {
  const made = openVersions(name);
  open.push(made);
  return made;
}

const plainPut = IDBObjectStore.prototype.put;

/** A window that ends before it has kept anything. */
const DYING: VersionKeeper = { ...NO_VERSIONS, settled: () => new Promise(() => undefined) };

/** With its fields in the order of the schema, as a library has it. */
const LESSON = decoded(lessonOfEveryKind([phraseNamed('a', 'First'), phraseNamed('b', 'Second')]));

function decoded(lesson: Lesson): Lesson {
  const read = decodeLesson(lesson);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
}

const birth = { id: 'x', now: '2026-02-01T08:00:00Z', title: 'First title' };

type Any = RecordHead<string, number>;

/** One of each kind that keeps what is written over, but phrases. */
const EACH: readonly (readonly [unknown, Any])[] = [
  [LESSONS, LESSON],
  [FORMS, OWN_FORM],
  [COLLECTIONS, newCollection(['a'], birth)],
  [
    PLANS,
    {
      ...{ format: 'degreewise-plan', version: 1, id: 'x', parent: null },
      meta: { title: 'First title', created: birth.now, modified: birth.now },
      ...{ lesson: LESSON.id, log: 'log', begun: '2026-02-01', seed: 1, minutes: 15, fresh: 2 },
      ...{ tempo: { from: 60, by: 10, to: 100 }, keys: { kind: 'same' } },
    } as Any,
  ],
];

/** As it stood at a time, with the time for a title. */
const at = <T extends Any>(value: T, time: number): T => {
  const modified = new Date(time).toISOString();
  return { ...value, meta: { ...value.meta, title: `at ${time - NOW}`, modified } };
};

async function write<T>(store: LibraryStore, kind: Kind<T>, value: T, time: number): Promise<void> {
  box.browser.now = time;
  const all = store.of(kind);
  const base = all.get(kind.identityOf(value).id)?.revision ?? null;
  expect((await all.save(value, base)).kind).toBe('saved');
}

const titles = async <T>(v: VersionKeeper, kind: Kind<T>, id: string) =>
  (await v.list(kind, id)).map(({ value }) => kind.identityOf(value).title);

const notes = async () =>
  (await rawDatabase('readonly', (_, meta) => meta.getAllKeys()))
    .map(String)
    .filter((name) => name.startsWith('past '));

describe('earlier versions of what is no phrase', () => {
  it.each(EACH)('keeps what a save writes over, and gives it back whole', async (of, first) => {
    // Each stands beside one of its own.
    const kind = of as Kind<Any>;
    box.browser.versions = keeper();
    const store = await box.browser.ready();
    const versions = store.versions!;
    const [old, now] = [at(first, NOW), at(first, NOW + SITTING + 1)];
    await write(store, kind, old, NOW);
    expect(await versions.list(kind, first.id)).toEqual([]);
    await write(store, kind, now, NOW + SITTING + 1);
    const [version] = await versions.list(kind, first.id);
    expect(version?.value).toEqual(old);
    // Put back, what stood there is kept, too.
    await versions.keep(kind, now, 'restore', NOW + SITTING + 2);
    await write(store, kind, old, NOW + SITTING + 2);
    expect(store.of(kind).get(first.id)?.value).toEqual(old);
    expect((await versions.list(kind, first.id)).map((v) => [v.why, v.value])).toEqual([
      ['restore', now],
      ['edit', old],
    ]);
    // Through a file, on another device, once.
    const texts: string[] = [];
    const key = `${kind.name} ${first.id}`;
    for await (const some of versions.texts(new Set([key]))) texts.push(...some.texts);
    const kept = texts.map((text) => {
      const read = KEPT_THINGS.decode(text);
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      expect(JSON.stringify(read.value)).toBe(text);
      return read.value;
    });
    const other = keeper('another-device');
    expect((await other.take(kept, NOW)).came.map((c) => c.id)).toEqual([key, key]);
    expect((await other.take(kept, NOW)).came).toEqual([]);
    expect(await other.list(kind, first.id)).toEqual(await versions.list(kind, first.id));
    // With it for good they go, and only then.
    await store.of(kind).remove([first.id]);
    expect(await versions.list(kind, first.id)).toHaveLength(2);
    await store.things.forget(store.things.removed());
    expect(await versions.list(kind, first.id)).toEqual([]);
  });

  it('are none of what is never changed', async () => {
    box.browser.versions = keeper();
    const store = await box.browser.ready();
    const use = { format: 'degreewise-use', version: 1, id: 'u', parent: null } as const;
    const meta = { title: 'For', created: birth.now, modified: birth.now };
    const one = { ...use, meta, day: '2026-02-01', phrases: ['a'] };
    await write(store, USES, one as never, NOW);
    await write(store, USES, { ...one, phrases: ['b'] } as never, NOW + SITTING);
    expect(await store.versions!.list(USES, 'u')).toEqual([]);
  });

  it('of two windows that write in turn each keeps what it wrote over', async () => {
    box.browser.versions = keeper();
    const one = await box.browser.ready();
    box.browser.versions = keeper();
    const two = await box.browser.ready();
    for (const [i, store] of [one, two, one, two].entries()) {
      await store.refresh();
      await write(store, LESSONS, at(LESSON, NOW + i * SITTING), NOW + i * SITTING);
    }
    await Promise.all([one.versions!.settled(), two.versions!.settled()]);
    const all = [2, 1, 0].map((i) => `at ${i * SITTING}`);
    expect(await titles(one.versions!, LESSONS, LESSON.id)).toEqual(all);
    expect(await titles(two.versions!, LESSONS, LESSON.id)).toEqual(all);
  });
});

describe('a window that ends between a save and its earlier version', () => {
  const reopened = async () => {
    box.browser.versions = keeper();
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const store = await box.browser.ready();
    for (let i = 0; i < 20; i++) await vi.advanceTimersByTimeAsync(200);
    vi.useRealTimers();
    await vi.waitFor(async () => expect(await notes()).toEqual([]));
    return store;
  };

  it('loses none: the next opening keeps it, once', async () => {
    box.browser.versions = DYING;
    const store = await box.browser.ready();
    const phrase = at(phraseNamed('p', 'P'), NOW);
    await write(store, LESSONS, at(LESSON, NOW), NOW);
    await write(store, PHRASES, phrase, NOW);
    expect(await notes()).toEqual([]);
    await write(store, LESSONS, at(LESSON, NOW + SITTING), NOW + SITTING);
    await write(store, PHRASES, at(phrase, NOW + SITTING), NOW + SITTING);
    // What follows in the same sitting is no version, here or there.
    await write(store, LESSONS, at(LESSON, NOW + SITTING + 9), NOW + SITTING + 9);
    expect(await notes()).toHaveLength(2);
    const next = await reopened();
    expect(await titles(next.versions!, LESSONS, LESSON.id)).toEqual(['at 0']);
    expect(await titles(next.versions!, PHRASES, 'p')).toEqual(['at 0']);
  });

  it('brings back none of what was deleted for good since', async () => {
    box.browser.versions = DYING;
    const store = await box.browser.ready();
    for (const time of [NOW, NOW + SITTING]) await write(store, LESSONS, at(LESSON, time), time);
    await store.of(LESSONS).remove([LESSON.id]);
    await store.things.forget(store.things.removed());
    expect(await notes()).toHaveLength(1);
    const next = await reopened();
    expect(await next.versions!.list(LESSONS, LESSON.id)).toEqual([]);
  });

  it('stays noted where earlier versions could not be written, and is kept later', async () => {
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
      this: IDBObjectStore,
      ...given
    ) {
      if (this.name === 'versions') throw new DOMException('full', 'QuotaExceededError');
      return plainPut.apply(this, given);
    });
    box.browser.versions = keeper();
    const store = await box.browser.ready();
    for (const time of [NOW, NOW + SITTING]) await write(store, LESSONS, at(LESSON, time), time);
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect(await store.versions!.settled()).toBe(false);
    put.mockRestore();
    await write(store, FORMS, OWN_FORM, NOW + SITTING);
    await write(store, FORMS, at(OWN_FORM, NOW + SITTING + 1), NOW + SITTING + 1);
    expect(await notes()).not.toEqual([]);
    const next = await reopened();
    expect(await titles(next.versions!, LESSONS, LESSON.id)).toEqual(['at 0']);
  });

  it('crosses out what is kept with the next write, and leaves a bulk edit without a note', async () => {
    const versions = keeper();
    box.browser.versions = versions;
    const store = await box.browser.ready();
    for (const time of [NOW, NOW + SITTING]) await write(store, LESSONS, at(LESSON, time), time);
    expect(await notes()).toHaveLength(1);
    await versions.settled();
    await new Promise((resolve) => setTimeout(resolve, 5));
    await versions.settled();
    await write(store, FORMS, OWN_FORM, NOW + SITTING);
    expect(await notes()).toEqual([]);
    const many = Array.from({ length: 17 }, (_, i) => at(phraseNamed(`p${i}`, 'P'), NOW));
    const bases = await store.saveAll(many.map((phrase) => ({ phrase, base: null })));
    if (bases.kind !== 'saved') throw new Error(bases.kind);
    const next = many.map((p, i) => {
      return { phrase: at(p, NOW + 2 * SITTING), base: bases.stored[i]!.revision };
    });
    box.browser.now = NOW + 2 * SITTING;
    expect((await store.saveAll(next)).kind).toBe('saved');
    expect(await notes()).toEqual([]);
    expect(await titles(versions, PHRASES, 'p16')).toEqual(['at 0']);
  });

  it('is saved where there is no room for a note', async () => {
    const backend = idbBackend();
    const written = backend.write.bind(backend);
    const full: Backend['write'] = (run) =>
      written((records) =>
        run({
          ...records,
          setMeta: async (name, value) => {
            if (name.startsWith('past ')) throw new DOMException('full', 'QuotaExceededError');
            await records.setMeta(name, value);
          },
        }),
      );
    backend.write = full;
    const versions = keeper();
    box.browser.versions = versions;
    const store = box.browser.window(undefined, backend);
    await store.opened();
    for (const time of [NOW, NOW + SITTING]) await write(store, LESSONS, at(LESSON, time), time);
    expect(store.of(LESSONS).get(LESSON.id)?.identity.title).toBe(`at ${SITTING}`);
    expect(await titles(versions, LESSONS, LESSON.id)).toEqual(['at 0']);
  });
});
