import { describe, expect, it } from 'vitest';
import { encodePhrase } from '../../src/io/json';
import { BELIEVED_AFTER, REMOVED_KEPT } from '../../src/storage/rest-writes';
import { readSamples } from '../support/samples';
import { freshBrowser, phraseNamed, rawDatabase, saved, storedIn, titles } from './support';

const box = freshBrowser();

describe('saving', () => {
  it('is there after the window was closed and opened again, note for note', async () => {
    const phrases = readSamples().map((s) => s.phrase);
    const first = await box.browser.ready();
    expect(await first.saveAll(phrases.map((phrase) => ({ phrase, base: null })))).toMatchObject({
      kind: 'saved',
    });
    await first.close();
    expect(first.snapshot().state).toBe('closed');
    const second = await box.browser.ready();
    const read = second.snapshot().phrases.map((s) => encodePhrase(s.peek()!));
    expect(read.sort()).toEqual(phrases.map((p) => encodePhrase(p)).sort());
    expect(second.snapshot().lasting).toBe(true);
  });

  it('asks for the strict durability, in one transaction over all phrases', async () => {
    const store = await box.browser.ready();
    const begun: unknown[] = [];
    const original = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (names, mode, options) {
      if (mode === 'readwrite') begun.push([names, options]);
      return original.call(this, names, mode, options);
    };
    try {
      await store.saveAll([
        { phrase: phraseNamed('a', 'Quay'), base: null },
        { phrase: phraseNamed('b', 'Jetty'), base: null },
      ]);
    } finally {
      IDBDatabase.prototype.transaction = original;
    }
    expect(begun).toEqual([[['records', 'meta', 'heads'], { durability: 'strict' }]]);
  });

  it('is acknowledged only when the transaction is complete', async () => {
    const store = await box.browser.ready();
    const events: string[] = [];
    const original = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (names, mode, options) {
      const tx = original.call(this, names, mode, options);
      tx.addEventListener('complete', () => events.push('complete'));
      return tx;
    };
    try {
      const stop = store.subscribe(() => events.push(`shown ${Object.keys(titles(store))}`));
      await store.save(phraseNamed('a', 'Quay'), null).then((r) => events.push(r.kind));
      stop();
    } finally {
      IDBDatabase.prototype.transaction = original;
    }
    expect(events).toEqual(['complete', 'shown a', 'saved']);
  });

  it('counts up one revision over all phrases, and never uses one twice', async () => {
    const store = await box.browser.ready();
    const a = await saved(store, phraseNamed('a', 'Quay'), null);
    const b = await saved(store, phraseNamed('b', 'Jetty'), null);
    const a2 = await saved(store, phraseNamed('a', 'Quay wall'), a.revision);
    expect([a.revision, b.revision, a2.revision]).toEqual([1, 2, 3]);
    await rawDatabase('readwrite', (_, meta) => meta.delete('sequence'));
    expect((await saved(store, phraseNamed('c', 'Pier'), null)).revision).toBe(4);
  });

  it('of what is there word for word counts as saved without a write', async () => {
    const store = await box.browser.ready();
    const a = await saved(store, phraseNamed('a', 'Quay'), null);
    expect(await store.save(phraseNamed('a', 'Quay'), null)).toMatchObject({
      kind: 'saved',
      stored: { phrase: a.phrase, revision: a.revision, sum: a.sum },
    });
    expect(await rawDatabase('readonly', (_, meta) => meta.get('sequence'))).toBe(1);
  });

  it('refuses what breaks the rules of a phrase, and keeps what was there', async () => {
    const store = await box.browser.ready();
    const a = await saved(store, phraseNamed('a', 'Quay'), null);
    const broken = { ...phraseNamed('a', 'Broken'), length: -1 };
    const result = await store.save(broken, a.revision);
    expect(result).toMatchObject({ kind: 'invalid', id: 'a' });
    expect(result.kind === 'invalid' && result.problems.length).toBeGreaterThan(0);
    const both = await store.saveAll([
      { phrase: phraseNamed('b', 'Jetty'), base: null },
      { phrase: broken, base: a.revision },
    ]);
    expect(both).toMatchObject({ kind: 'invalid', id: 'a' });
    expect(titles(store)).toEqual({ a: 'Quay' });
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['a']);
  });

  it('keeps phrases that did not change the same objects', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    const a = store.phrase('a');
    const before = store.snapshot();
    expect(store.snapshot()).toBe(before);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    expect(store.snapshot()).not.toBe(before);
    expect(store.phrase('a')).toBe(a);
    expect(store.snapshot().phrases).toContain(a);
    await store.refresh();
    expect(store.phrase('a')).toBe(a);
    expect(store.snapshot().phrases).toContain(a);
  });
});

describe('conflicts', () => {
  it('names what stands in the way, and writes nothing of the lot', async () => {
    const store = await box.browser.ready();
    const a1 = await saved(store, phraseNamed('a', 'Quay'), null);
    const a2 = await saved(store, phraseNamed('a', 'Quay wall'), a1.revision);
    const b = await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.remove(['b']);
    const result = await store.saveAll([
      { phrase: phraseNamed('a', 'Quay stairs'), base: a1.revision },
      { phrase: phraseNamed('b', 'Jetty end'), base: b.revision },
      { phrase: phraseNamed('c', 'Pier'), base: 77 },
      { phrase: phraseNamed('d', 'Mole'), base: null },
    ]);
    expect(result).toMatchObject({
      kind: 'conflicts',
      conflicts: [
        {
          kind: 'changed',
          id: 'a',
          theirs: { revision: a2.revision, phrase: phraseNamed('a', 'Quay wall') },
        },
        { kind: 'removed', id: 'b', revision: 4 },
        { kind: 'missing', id: 'c' },
      ],
    });
    expect(titles(store)).toEqual({ a: 'Quay wall' });
    expect(await rawDatabase('readonly', (_, meta) => meta.get('sequence'))).toBe(4);
  });

  it('are over once the caller saves from the revision that was named', async () => {
    const store = await box.browser.ready();
    const a = await saved(store, phraseNamed('a', 'Quay'), null);
    await store.remove(['a']);
    const refused = await store.save(phraseNamed('a', 'Quay wall'), a.revision);
    if (refused.kind !== 'conflict' || refused.conflict.kind !== 'removed') throw new Error();
    await saved(store, phraseNamed('a', 'Quay wall'), refused.conflict.revision);
    expect(titles(store)).toEqual({ a: 'Quay wall' });
  });

  it('new phrases never replace one that is there', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect(await store.save(phraseNamed('a', 'Other'), null)).toMatchObject({
      kind: 'conflict',
      conflict: { kind: 'changed', theirs: { phrase: { meta: { title: 'Quay' } } } },
    });
  });

  it('one phrase twice in one transaction is a mistake of the program', async () => {
    const store = await box.browser.ready();
    const item = { phrase: phraseNamed('a', 'Quay'), base: null };
    await expect(store.saveAll([item, item])).rejects.toThrow(RangeError);
  });
});

describe('adding from a file', () => {
  it('adds, recognises and copies, and never writes over', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await saved(store, phraseNamed('c', 'Pier'), null);
    await store.remove(['c']);
    const result = await store.add([
      phraseNamed('a', 'Quay'),
      phraseNamed('b', 'Another jetty'),
      phraseNamed('c', 'Pier again'),
      phraseNamed('d', 'Mole'),
      phraseNamed('d', 'Mole'),
      phraseNamed('d', 'Another mole'),
    ]);
    if (result.kind !== 'saved') throw new Error(result.kind);
    expect(result.added.map((x) => [x.kind, x.stored.phrase.id, x.stored.phrase.parent])).toEqual([
      ['same', 'a', null],
      ['copied', 'new-1', 'b'],
      ['added', 'c', null],
      ['added', 'd', null],
      ['same', 'd', null],
      ['copied', 'new-2', 'd'],
    ]);
    expect(titles(store)).toEqual({
      a: 'Quay',
      b: 'Jetty',
      c: 'Pier again',
      d: 'Mole',
      'new-1': 'Another jetty',
      'new-2': 'Another mole',
    });
    const again = await box.browser.ready();
    expect(titles(again)).toEqual(titles(store));
  });
});

describe('removing', () => {
  it('can be undone, also after opening again', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    expect(await store.remove(['a', 'nobody'])).toEqual({ kind: 'done', ids: ['a'] });
    expect(await store.remove(['a'])).toEqual({ kind: 'done', ids: [] });
    expect(titles(store)).toEqual({ b: 'Jetty' });
    const later = await box.browser.ready();
    expect(titles(later)).toEqual({ b: 'Jetty' });
    expect(await later.restore(['a', 'b'])).toEqual({ kind: 'done', ids: ['a'] });
    expect(titles(later)).toEqual({ a: 'Quay', b: 'Jetty' });
  });

  it('is final after 30 days', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.remove(['a']);
    box.browser.now += 1;
    await store.remove(['b']);
    box.browser.now += REMOVED_KEPT;
    await (await box.browser.ready()).close();
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['a', 'b']);
    box.browser.now += BELIEVED_AFTER;
    const later = await box.browser.ready();
    await later.close();
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['b']);
    box.browser.now += BELIEVED_AFTER;
    const last = await box.browser.ready();
    // The numbers of what is gone are not given again.
    expect((await saved(last, phraseNamed('c', 'Pier'), null)).revision).toBe(5);
    // What deletes for good comes on demand, and is waited for.
    await last.close();
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['c']);
    expect(REMOVED_KEPT).toBe(2_592_000_000);
  });

  it('survives starts with a clock that is 40 days ahead', async () => {
    const day = 24 * 60 * 60 * 1000;
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await store.remove(['a']);
    const right = box.browser.now;
    // Twice on one day, then the clock is set right, and a week later it goes wrong once more.
    for (const ahead of [40, 40.5, 1, 7, 8, 47]) {
      box.browser.now = right + ahead * day;
      await (await box.browser.ready()).close();
      expect(await rawDatabase('readonly', (p) => p.getAllKeys()), `${ahead}`).toEqual(['a']);
    }
    const later = await box.browser.ready();
    expect(await later.restore(['a'])).toEqual({ kind: 'done', ids: ['a'] });
  });
});

describe('samples', () => {
  const samples = () => [phraseNamed('s1', 'First light'), phraseNamed('s2', 'Second bell')];

  it('are laid in once in the life of a library', async () => {
    const store = await box.browser.ready();
    const result = await store.seedSamples(samples());
    expect(result).toMatchObject({ kind: 'seeded', stored: [{ sample: true }, { sample: true }] });
    expect(await store.seedSamples(samples())).toEqual({ kind: 'seeded before' });
    await store.remove(['s1', 's2']);
    const later = await box.browser.ready();
    expect(await later.seedSamples(samples())).toEqual({ kind: 'seeded before' });
    expect(titles(later)).toEqual({});
  });

  it('come once when two windows open for the first time together', async () => {
    const [one, two] = await Promise.all([box.browser.ready(), box.browser.ready()]);
    const results = await Promise.all([one.seedSamples(samples()), two.seedSamples(samples())]);
    expect(results.map((r) => r.kind).sort()).toEqual(['seeded', 'seeded before']);
  });

  it('leave out an id that is taken', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('s1', 'Mine'), null);
    expect(await store.seedSamples(samples())).toMatchObject({ kind: 'seeded', stored: [{}] });
    expect(titles(store)).toEqual({ s1: 'Mine', s2: 'Second bell' });
  });

  it('are removed only where nobody has changed them, and can be brought back', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await store.seedSamples(samples());
    const s1 = storedIn(store, 's1');
    const mine = await saved(store, phraseNamed('s1', 'First light, mine'), s1.revision);
    expect(mine.sample).toBe(false);
    expect(await store.removeSamples()).toEqual({ kind: 'done', ids: ['s2'] });
    expect(titles(store)).toEqual({ a: 'Quay', s1: 'First light, mine' });
    await store.restore(['s2']);
    expect(storedIn(store, 's2').sample).toBe(true);
  });

  it('changed in another window a moment ago are not removed', async () => {
    const one = await box.browser.ready();
    await one.seedSamples(samples());
    const two = await box.browser.ready();
    box.browser.talking = false;
    await saved(two, phraseNamed('s2', 'Theirs'), storedIn(two, 's2').revision);
    expect(storedIn(one, 's2').sample).toBe(true);
    expect(await one.removeSamples()).toEqual({ kind: 'done', ids: ['s1'] });
  });
});

describe('the promise to keep the library', () => {
  const persistence = (granted: boolean) => {
    const asked: string[] = [];
    return {
      asked,
      async persisted() {
        asked.push('persisted');
        return false;
      },
      async persist() {
        asked.push('persist');
        return granted;
      },
    };
  };

  it('is asked for at the first save of the user, once, not for the samples', async () => {
    const p = persistence(true);
    box.browser.persistence = p;
    const store = await box.browser.ready();
    await store.seedSamples([phraseNamed('s1', 'First light')]);
    expect(p.asked).toEqual(['persisted']);
    expect(store.snapshot().persisted).toBe(false);
    await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.close();
    expect(p.asked).toEqual(['persisted', 'persist']);
    expect(store.snapshot().persisted).toBe(true);
  });

  it('may be denied, or the question fail, and the library works on', async () => {
    box.browser.persistence = {
      persisted: () => Promise.reject(new Error('no')),
      persist: () => Promise.reject(new Error('no')),
    };
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await store.close();
    expect(store.snapshot().persisted).toBeNull();
  });
});
