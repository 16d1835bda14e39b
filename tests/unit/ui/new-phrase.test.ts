import { expect, it } from 'vitest';
import { createMemoryStore, createSaveQueue } from '../../../src/storage';
import { emptyPhrase, forgetUntouched } from '../../../src/ui/frame/new-phrase';

async function begun() {
  const store = createMemoryStore({ phrases: [] });
  await store.opened();
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => `${t} (mine)`,
  });
  const phrase = emptyPhrase({ newId: () => 'new', now: () => '2026-11-27T10:00:00Z' }, []);
  const saved = await store.save(phrase, null);
  if (saved.kind !== 'saved') throw new Error(saved.kind);
  const { revision } = saved.stored;
  const ids = () => store.snapshot().phrases.map((p) => p.phrase.id);
  return { app: { store, queue }, phrase, revision, ids };
}

it('a new phrase that nobody touched leaves nothing', async () => {
  const { app, revision, ids } = await begun();
  expect(ids()).toEqual(['new']);
  await forgetUntouched(app, 'new', revision);
  expect(ids()).toEqual([]);
});

it('one with a title, on the disk or on its way there, stays', async () => {
  const { app, phrase, revision, ids } = await begun();
  const named = { ...phrase, meta: { ...phrase.meta, title: 'Mine' } };
  app.queue.edit(named, revision);
  await forgetUntouched(app, 'new', revision);
  expect(ids()).toEqual(['new']);
  await app.queue.flush();
  await forgetUntouched(app, 'new', revision);
  expect(ids()).toEqual(['new']);
});
