import { describe, expect, it } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { createMemoryStore } from '../../src/storage';
import { freshBrowser, phraseNamed, titles, until } from './support';

const box = freshBrowser();
const names = (...ids: string[]) => ids.map((id) => ({ kind: PHRASES, id }));

describe('what was removed', () => {
  it('is listed with its time and read, in this window and the next, until it is back', async () => {
    const store = box.browser.window();
    await store.opened();
    for (const id of ['a', 'b', 'c']) await store.save(phraseNamed(id, `Title ${id}`), null);
    await store.remove(['a', 'b']);
    const listed = (s: typeof store) =>
      s.things.removed().map((t) => [t.kind.name, t.id].join(' '));
    expect(listed(store)).toEqual(['phrase a', 'phrase b']);
    expect(store.things.removed()[0]!.removed).toBeGreaterThan(0);
    const read = await store.things.readRemoved(names('b', 'c', 'x'));
    // What is there is not among what was removed.
    expect(read.map((t) => t && PHRASES.identityOf(t.value as never).title)).toEqual([
      'Title b',
      null,
      null,
    ]);
    await store.close();
    const again = box.browser.window();
    await again.opened();
    expect(listed(again)).toEqual(['phrase a', 'phrase b']);
    await again.things.restore(names('a'));
    expect([listed(again), titles(again)]).toEqual([['phrase b'], { a: 'Title a', c: 'Title c' }]);
  });

  it('is deleted for good when that is asked, and nothing else is', async () => {
    const store = box.browser.window();
    await store.opened();
    for (const id of ['a', 'b']) await store.save(phraseNamed(id, id), null);
    await store.remove(['a']);
    const gone = await store.things.forget(names('a', 'b', 'x'));
    expect(gone).toMatchObject({ kind: 'done', things: [{ id: 'a' }] });
    expect(store.things.removed()).toEqual([]);
    expect(await store.things.restore(names('a'))).toMatchObject({ things: [] });
    expect(titles(store)).toEqual({ b: 'b' });
    await store.close();
    const again = box.browser.window();
    await again.opened();
    expect([again.things.removed(), titles(again)]).toEqual([[], { b: 'b' }]);
  });

  it('is gone in other windows too once it was deleted for good, and so is what was withdrawn', async () => {
    const [one, other] = [await box.browser.ready(), await box.browser.ready()];
    for (const id of ['a', 'b']) await one.save(phraseNamed(id, id), null);
    await one.remove(['a']);
    const listed = () => other.things.removed().map((t) => t.id);
    await until(other, () => listed().length === 1);
    await one.things.forget(names('a'));
    await until(other, () => listed().length === 0);
    const added = await one.add([phraseNamed('c', 'c')]);
    await until(other, () => 'c' in titles(other));
    if (added.kind !== 'saved') throw new Error(added.kind);
    const all = added.added.map(({ stored: { id, revision } }) => ({
      kind: PHRASES,
      id,
      revision,
    }));
    await one.things.withdraw(all);
    await until(other, () => !('c' in titles(other)));
    // Written again at once, it is there.
    const back = await one.add([phraseNamed('c', 'again')]);
    if (back.kind !== 'saved') throw new Error(back.kind);
    await until(other, () => titles(other).c === 'again');
    expect(titles(other)).toEqual(titles(one));
  });

  it('is there in a library that does not outlast its window, too', async () => {
    const store = createMemoryStore({ phrases: [phraseNamed('a', 'Quay')] });
    await store.opened();
    await store.remove(['a']);
    expect(store.things.removed()).toMatchObject([{ id: 'a' }]);
    expect(await store.things.readRemoved(names('a'))).toMatchObject([{ value: { id: 'a' } }]);
  });
});
