import { readFileSync } from 'node:fs';
import path from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import { KINDS, PHRASES } from '../../src/io/kinds/kinds';
import { headOf } from '../../src/storage/build-heads';
import { type Head, rowOf, takeRow } from '../../src/storage/head';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { sealOf } from '../../src/storage/seal';
import type { LibraryStore } from '../../src/storage/types';
import { freshBrowser, phraseNamed, promised, rawDatabase, saved, titles } from './support';
import '../../src/io/kinds/checks-at-hand';

/* A large library opens with what is known of its records, and reads one when somebody looks at it. */

const box = freshBrowser();

/** A window that treats any library as a large one. */
async function large(few = 0): Promise<LibraryStore> {
  const store = box.browser.window(UPGRADES, idbBackend(DATABASE, UPGRADES, null, few));
  expect(await store.opened()).toBe('ready');
  return store;
}

/** Takes away at once what nobody holds, as a browser does where memory is short. */
const clearMemory: () => void = (() => {
  setFlagsFromString('--expose-gc');
  return runInNewContext('gc');
})();

const bundle = (n: number) =>
  Array.from({ length: n }, (_, i) => phraseNamed(`p${i}`, `Number ${i}`));

async function headRows(): Promise<readonly string[]> {
  const db = await promised(indexedDB.open(DATABASE));
  const rows: string[] = await promised(db.transaction('heads').objectStore('heads').getAll());
  db.close();
  return rows;
}

/** What each opening of either kind shows. */
async function shown(store: LibraryStore) {
  const loaded = await store.loadAll(store.snapshot().phrases.map((p) => p.id));
  const { problems } = store.snapshot();
  return {
    phrases: Object.fromEntries(
      loaded.map((s) => [s.id, [s.phrase, s.revision, s.sample, s.sum, s.identity]]),
    ),
    problems: problems.map((p) => p.key).sort(),
  };
}

describe('reading many', () => {
  it('gives all of them, however soon memory is cleared of those that were read first', async () => {
    const first = await box.browser.ready();
    const many = bundle(700);
    await first.add(many);
    const backend = idbBackend(DATABASE, UPGRADES, null, 0);
    const store = box.browser.window(UPGRADES, backend);
    expect(await store.opened()).toBe('ready');
    // Somebody looked at these, and they are at hand when the others are asked for.
    await store.loadAll(many.slice(0, 40).map((p) => p.id));
    const read = backend.read.bind(backend);
    backend.read = async (keys) => {
      const raws = await read(keys);
      // What a weak reference led to in a task stays until its end.
      await new Promise((resolve) => setTimeout(resolve));
      clearMemory();
      return raws;
    };
    const loaded = await store.loadAll(many.map((p) => p.id));
    expect(loaded.map((s) => s.phrase.meta.title)).toEqual(many.map((p) => p.meta.title));
  });
});

describe('opening a large library', () => {
  it('reads no record, and gives each when it is asked for', async () => {
    const first = await box.browser.ready();
    await first.add(bundle(20));
    await first.remove(['p3']);
    const getAll = vi.spyOn(IDBObjectStore.prototype, 'getAll');
    const get = vi.spyOn(IDBObjectStore.prototype, 'get');
    const store = await large();
    const read = [...getAll.mock.contexts, ...get.mock.contexts].filter(
      (s) => (s as IDBObjectStore).name === 'records',
    );
    getAll.mockRestore();
    get.mockRestore();
    expect(read).toEqual([]);
    expect(titles(store)).toEqual(titles(first));
    const entry = store.phrase('p7')!;
    expect(entry.peek()).toBeNull();
    const loaded = await store.load('p7');
    expect(loaded).toMatchObject({ phrase: phraseNamed('p7', 'Number 7'), revision: 8 });
    expect(store.phrase('p7')).toBe(entry);
    expect(entry.peek()).toBe(loaded?.phrase);
    expect(await store.load('p3')).toBeNull();
    await store.restore(['p3']);
    expect((await store.load('p3'))?.phrase.meta.title).toBe('Number 3');
    expect(await shown(await box.browser.ready())).toEqual(await shown(store));
  });

  it('means the same as reading everything, whatever was done before (property)', async () => {
    const id = fc.constantFrom('a', 'b', 'c', 'd');
    const act = fc.oneof(
      fc.record({ do: fc.constant('save' as const), id, n: fc.nat(9) }),
      fc.record({ do: fc.constantFrom('remove' as const, 'restore' as const), id }),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(act, { maxLength: 14 }), async (acts) => {
        await promised(indexedDB.deleteDatabase(DATABASE));
        let store = await large();
        for (const [i, a] of acts.entries()) {
          if (i % 5 === 4) {
            await store.close();
            store = await large();
          }
          if (a.do === 'save') {
            const base = store.phrase(a.id)?.revision ?? null;
            await store.save(phraseNamed(a.id, `Take ${a.n}`), base);
          } else await store[a.do]([a.id]);
        }
        const before = await shown(store);
        await store.close();
        const heads = await large();
        expect(await shown(heads)).toEqual(before);
        await heads.close();
        const whole = await large(99);
        expect(await shown(whole)).toEqual(before);
        await whole.close();
      }),
      { numRuns: 6 },
    );
  });

  it('finds a record that is damaged when it is looked at, or a little later', async () => {
    const first = await box.browser.ready();
    await first.add(bundle(5));
    await first.close();
    const text = JSON.stringify(phraseNamed('p1', 'Number 1')).slice(0, -9);
    const sum = sealOf(PHRASES, 'p1', JSON.stringify(phraseNamed('p1', 'Number 1')));
    await rawDatabase('readwrite', (r) => r.put({ id: 'p1', revision: 2, text, sum }));
    await rawDatabase('readwrite', (r) => r.put({ id: 'p2', revision: 'x' }));
    await rawDatabase('readwrite', (r) => r.delete('p4'));
    await rawDatabase('readwrite', (r) =>
      r.put({ id: 'late', revision: 3, text: JSON.stringify(phraseNamed('late', 'Late')) }),
    );
    const store = await large();
    expect(await store.load('p1')).toBeNull();
    expect(store.snapshot().problems.map((p) => p.key)).toEqual(['p1']);
    expect(store.phrase('p1')).toBeNull();
    expect(await store.save(phraseNamed('p2', 'Over it'), 3)).toMatchObject({
      kind: 'conflict',
      conflict: { kind: 'damaged' },
    });
    await store.lookThrough();
    expect(store.snapshot().problems.map((p) => p.key)).toEqual(['p1', 'p2']);
    expect(titles(store)).toEqual({ p0: 'Number 0', p3: 'Number 3', late: 'Late' });
    await store.close();
    // What was found wrong is written anew from the records.
    const again = await large();
    expect(titles(again)).toEqual({ p0: 'Number 0', p3: 'Number 3', late: 'Late' });
    expect(
      again
        .snapshot()
        .problems.map((p) => p.key)
        .sort(),
    ).toEqual(['p1', 'p2']);
  });
});

describe('what is known of the records', () => {
  it('is written from the records of older versions, and goes on where it was cut off', async () => {
    const file = path.join(import.meta.dirname, '../migrations/storage-v3.json');
    const frozen = JSON.parse(readFileSync(file, 'utf8'));
    const opening = indexedDB.open(DATABASE, 3);
    opening.onupgradeneeded = () => {
      const records = opening.result.createObjectStore('records', { keyPath: 'id' });
      records.createIndex('revision', 'revision');
      for (const { value } of frozen.stores.records.records) records.put(value);
      for (let i = 0; i < 300; i++) {
        const [id, text] = [`q${1000 + i}`, JSON.stringify(phraseNamed(`q${1000 + i}`, `Q ${i}`))];
        records.put({ id, revision: 10 + i, text, sum: sealOf(PHRASES, id, text) });
      }
      opening.result.createObjectStore('meta').put(400, 'sequence');
    };
    (await promised(opening)).close();
    const backend = idbBackend(DATABASE, UPGRADES, null, 0);
    const heads = backend.heads!.bind(backend);
    backend.heads = (kinds) =>
      heads(kinds, (done) => {
        if (done > 200) throw new Error('the window was killed');
      });
    const killed = box.browser.window(UPGRADES, backend);
    expect(await killed.opened()).toBe('failed');
    const left = (await headRows()).length;
    expect(left).toBe(2);
    const store = await large();
    expect(Object.keys(titles(store))).toHaveLength(302);
    expect(titles(store)).toMatchObject({ 'frozen-1': 'Frozen <2> & "more" ♭', q1299: 'Q 299' });
    expect(await store.restore(['frozen-2'])).toEqual({ kind: 'done', ids: ['frozen-2'] });
    expect((await headRows()).length).toBeGreaterThan(left);
    expect(await shown(await large(999))).toEqual(await shown(store));
  });

  it('is written of what was not checked too, which is checked when somebody looks at it', async () => {
    const first = await box.browser.ready();
    await first.add(bundle(5));
    await first.close();
    const change = (id: string, to: (text: string) => string) =>
      rawDatabase('readwrite', (records) => {
        const asked = records.get(id);
        asked.addEventListener('success', () => {
          const { sum: _, text, ...rest } = asked.result;
          records.put({ ...rest, text: to(text) });
        });
        return asked;
      });
    await change('p0', (text) => text);
    // Nothing that says what it is called is wrong with this one, and more with these.
    await change('p1', (text) => text.replace('"length":', '"lenght":'));
    await change('p2', (text) => text.slice(0, -9));
    await change('p3', (text) => text.replace('"title":"Number 3"', '"title":3'));
    await rawDatabase('readwrite', (_, meta) => meta.delete('heads'));
    const check = vi.spyOn(PHRASES, 'decode');
    const store = await large();
    expect(check).toHaveBeenCalledTimes(2);
    check.mockClear();
    expect(titles(store)).toEqual({ p0: 'Number 0', p1: 'Number 1', p4: 'Number 4' });
    expect(
      store
        .snapshot()
        .problems.map((p) => p.key)
        .sort(),
    ).toEqual(['p2', 'p3']);
    expect((await store.load('p0'))?.phrase).toEqual(phraseNamed('p0', 'Number 0'));
    expect(await store.load('p1')).toBeNull();
    expect(await store.load('p4')).not.toBeNull();
    expect(check).toHaveBeenCalledTimes(2);
    check.mockRestore();
    expect(store.snapshot().problems).toHaveLength(3);
    // A little later the record says so, and is not checked again.
    const record = () => rawDatabase('readonly', (r) => r.get('p0'));
    await expect.poll(record, { timeout: 9_000 }).toHaveProperty('sum', store.phrase('p0')?.sum);
  });

  it('calls each what it is called, whatever its title and its notes hold (property)', () => {
    const any = fc.string({ unit: 'grapheme', maxLength: 12 });
    const said = fc.oneof(
      any,
      fc.array(fc.constantFrom(...'"\\{}[],x♭'), { maxLength: 9 }).map((c) => c.join('')),
    );
    fc.assert(
      fc.property(said, said, (title, notes) => {
        const phrase = phraseNamed('a', 'Spit');
        const value = { ...phrase, meta: { ...phrase.meta, title, notes, tags: [notes] } };
        const text = JSON.stringify(value);
        const record = { id: 'a', revision: 1, text, sum: sealOf(PHRASES, 'a', text) };
        const head = headOf('a', record, KINDS);
        expect('identity' in head && head.identity).toEqual(PHRASES.identityOf(value));
      }),
      { numRuns: 100 },
    );
  });

  it('is written anew where a row is damaged, or gone', async () => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('a', 'Quay'), null);
    await saved(first, phraseNamed('b', 'Jetty'), null);
    await first.close();
    const spoil = async (run: (heads: IDBObjectStore) => void) => {
      const db = await promised(indexedDB.open(DATABASE));
      const tx = db.transaction('heads', 'readwrite');
      run(tx.objectStore('heads'));
      await new Promise((resolve) => tx.addEventListener('complete', resolve));
      db.close();
    };
    await spoil((heads) => heads.put('[["a",1', 1));
    const store = await large();
    expect(titles(store)).toEqual({ a: 'Quay', b: 'Jetty' });
    await store.close();
    await spoil((heads) => heads.clear());
    const empty = await large();
    expect(titles(empty)).toEqual({});
    await expect.poll(() => titles(empty), { timeout: 9_000 }).toEqual({ a: 'Quay', b: 'Jetty' });
    await empty.lookThrough();
    await empty.close();
    expect(titles(await large())).toEqual({ a: 'Quay', b: 'Jetty' });
  });

  it('is mended where a row between others is gone, and a removal seems to last', async () => {
    const first = await box.browser.ready();
    for (const id of ['a', 'b']) await saved(first, phraseNamed(id, id), null);
    await first.remove(['a']);
    await first.restore(['a']);
    await saved(first, phraseNamed('c', 'c'), null);
    await first.close();
    const db = await promised(indexedDB.open(DATABASE));
    await promised(db.transaction('heads', 'readwrite').objectStore('heads').delete(4));
    db.close();
    const store = await large();
    expect(titles(store)).toEqual({ b: 'b', c: 'c' });
    await expect.poll(() => titles(store), { timeout: 9_000 }).toHaveProperty('a');
    await store.lookThrough();
    await store.close();
    const backend = idbBackend(DATABASE, UPGRADES, null, 0);
    const again = box.browser.window(UPGRADES, backend);
    await again.opened();
    expect(titles(again)).toEqual({ a: 'a', b: 'b', c: 'c' });
    expect(backend.gap).toBe(false);
  });

  it('is written more tightly in time, and says what it said', async () => {
    const store = await large();
    await store.add(bundle(3));
    for (let i = 0; i < 270; i++) {
      const base = store.phrase('p1')!.revision;
      await saved(store, phraseNamed('p1', `Take ${i}`), base);
    }
    await store.remove(['p2']);
    const before = titles(store);
    await store.close();
    expect((await headRows()).length).toBeGreaterThan(270);
    const backend = idbBackend(DATABASE, UPGRADES, null, 0);
    const again = box.browser.window(UPGRADES, backend);
    await again.opened();
    await backend.tidyHeads!();
    await again.close();
    expect((await headRows()).length).toBe(1);
    const last = await large();
    expect(titles(last)).toEqual(before);
    expect(await last.restore(['p2'])).toEqual({ kind: 'done', ids: ['p2'] });
  });

  it('never goes back to an older revision, whatever the order of the rows', () => {
    const record = (revision: number, title: string) => {
      const text = JSON.stringify(phraseNamed('a', title));
      return { id: 'a', revision, text, sum: sealOf(PHRASES, 'a', text) };
    };
    const known = new Map<string, Head>();
    takeRow(known, rowOf([headOf('a', record(5, 'New'), KINDS)]));
    takeRow(known, rowOf([headOf('a', record(3, 'Old'), KINDS)]));
    expect(known.get('a')).toMatchObject({ revision: 5, identity: { title: 'New' } });
    takeRow(known, rowOf([{ key: 'a', gone: true }]));
    expect(known.size).toBe(0);
  });
});
