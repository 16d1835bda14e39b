import { describe, expect, it, vi } from 'vitest';
import { openLibrary } from '../../src/storage';
import { idbBackend } from '../../src/storage/idb-backend';
import { freshBrowser, phraseNamed, saved, storedIn, titles, until } from './support';

const box = freshBrowser();

describe('two windows', () => {
  it('see each other save, remove and restore', async () => {
    const one = await box.browser.ready();
    const two = await box.browser.ready();
    await saved(one, phraseNamed('a', 'Quay'), null);
    await until(two, () => titles(two).a === 'Quay');
    await saved(two, phraseNamed('a', 'Quay wall'), storedIn(two, 'a').revision);
    await until(one, () => titles(one).a === 'Quay wall');
    await one.remove(['a']);
    await until(two, () => titles(two).a === undefined);
    await two.restore(['a']);
    await until(one, () => titles(one).a === 'Quay wall');
  });

  it('that edit one phrase: the second is told, with the first one’s version', async () => {
    const one = await box.browser.ready();
    const two = await box.browser.ready();
    const a = await saved(one, phraseNamed('a', 'Quay'), null);
    await two.refresh();
    const results = await Promise.all([
      one.save(phraseNamed('a', 'By one'), a.revision),
      two.save(phraseNamed('a', 'By two'), a.revision),
    ]);
    expect(results).toMatchObject([
      { kind: 'saved' },
      {
        kind: 'conflict',
        conflict: { kind: 'changed', theirs: { phrase: { meta: { title: 'By one' } } } },
      },
    ]);
    expect(titles(two)).toEqual({ a: 'By one' });
  });

  it('that save different phrases at once lose neither, and end up alike', async () => {
    const one = await box.browser.ready();
    const two = await box.browser.ready();
    await Promise.all(
      Array.from({ length: 12 }, (_, i) =>
        saved(i % 2 === 0 ? one : two, phraseNamed(`p${i}`, `Number ${i}`), null),
      ),
    );
    await until(one, () => Object.keys(titles(one)).length === 12);
    await until(two, () => Object.keys(titles(two)).length === 12);
    expect(titles(one)).toEqual(titles(two));
    const revisions = one.snapshot().phrases.map((s) => s.revision);
    expect(revisions.sort((a, b) => a - b)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
  });

  it('that heard nothing of each other catch up on coming back into view', async () => {
    box.browser.talking = false;
    const one = await box.browser.ready();
    const two = await box.browser.ready();
    await saved(one, phraseNamed('a', 'Quay'), null);
    await saved(two, phraseNamed('b', 'Jetty'), null);
    await saved(one, phraseNamed('c', 'Pier'), null);
    await one.remove(['a']);
    expect(titles(two)).toEqual({ b: 'Jetty' });
    await Promise.all([one.refresh(), two.refresh(), two.refresh()]);
    expect(titles(one)).toEqual({ b: 'Jetty', c: 'Pier' });
    expect(titles(two)).toEqual({ b: 'Jetty', c: 'Pier' });
  });

  it('a look that is asked for during another one sees what was written meanwhile', async () => {
    box.browser.talking = false;
    const other = await box.browser.ready();
    const backend = idbBackend();
    const since = backend.since.bind(backend);
    const store = box.browser.window(undefined, backend);
    await store.opened();
    let looked = () => {};
    const hasLooked = new Promise<void>((resolve) => {
      looked = resolve;
    });
    let goOn = () => {};
    const mayGoOn = new Promise<void>((resolve) => {
      goOn = resolve;
    });
    backend.since = async (revision) => {
      const found = await since(revision);
      looked();
      await mayGoOn;
      return found;
    };
    const first = store.refresh();
    await hasLooked;
    await saved(other, phraseNamed('a', 'Quay'), null);
    const second = store.refresh();
    goOn();
    await Promise.all([first, second]);
    expect(titles(store)).toEqual({ a: 'Quay' });
  });

  it('a look that began before a write does not take the write back', async () => {
    box.browser.talking = false;
    const one = await box.browser.ready();
    const a = await saved(one, phraseNamed('a', 'Quay'), null);
    const looking = one.refresh();
    const saving = saved(one, phraseNamed('a', 'Quay wall'), a.revision);
    await Promise.all([looking, saving]);
    expect(titles(one)).toEqual({ a: 'Quay wall' });
  });
});

describe('the browser’s own channel', () => {
  it('carries word from window to window, and not back', async () => {
    // The real wiring, over Node's BroadcastChannel, on a page without a storage manager.
    vi.stubGlobal('navigator', {});
    const one = openLibrary();
    const two = openLibrary();
    try {
      await Promise.all([one.opened(), two.opened()]);
      await saved(one, phraseNamed('a', 'Quay'), null);
      await until(two, () => titles(two).a === 'Quay');
    } finally {
      await Promise.all([one.close(), two.close()]);
      vi.unstubAllGlobals();
    }
  });
});
