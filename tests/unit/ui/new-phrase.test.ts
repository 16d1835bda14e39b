import { expect, it, vi } from 'vitest';
import type { Tempo } from '../../../src/core/phrase/types';
import { createMemoryStore, createSaveQueue } from '../../../src/storage';
import type { App } from '../../../src/ui/frame/app-context';
import {
  emptyPhrase,
  forgetUntouched,
  sweepUntouched,
  writeNewPhrase,
} from '../../../src/ui/frame/new-phrase';
import { noteUntouched, untouchedOn } from '../../../src/ui/frame/untouched';
import { build } from '../../support/build';

async function begun() {
  const store = createMemoryStore({ phrases: [] });
  await store.opened();
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => `${t} (mine)`,
  });
  const phrase = emptyPhrase({ newId: () => 'new', now: () => '2026-11-27T10:00:00Z' }, null);
  const saved = await store.save(phrase, null);
  if (saved.kind !== 'saved') throw new Error(saved.kind);
  const { revision } = saved.stored;
  const ids = () => store.snapshot().phrases.map((p) => p.id);
  return { app: { store, queue }, phrase, revision, ids };
}

it('one begun after a phrase in 12/8 counts quarters, one after a choice of halves halves', () => {
  const from = { newId: () => 'new', now: () => '2026-11-27T10:00:00Z' };
  const begin = (meter: string, unit: Tempo['unit']) => {
    const last = build('q 3/5', { meter });
    return emptyPhrase(from, { ...last, tempo: { bpm: 80, unit } }).tempo;
  };
  expect(begin('12/8', 'dotted-quarter')).toEqual({ bpm: 80, unit: 'quarter' });
  expect(begin('2/2', 'half')).toEqual({ bpm: 80, unit: 'half' });
});

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

/** A shelf in memory. */
function shelf() {
  const texts = new Map<string, string>();
  return {
    names: () => [...texts.keys()],
    read: (name: string) => texts.get(name) ?? null,
    write: (name: string, text: string) => texts.set(name, text).size > 0,
    remove: (name: string) => void texts.delete(name),
  };
}

it('one that a closed window left behind untouched goes at the next start', async () => {
  const { app, revision, ids } = await begun();
  const notes = shelf();
  noteUntouched(notes, { id: 'new', began: revision });
  await sweepUntouched(app, notes, null, async () => true);
  // Another window shows it.
  expect([ids(), untouchedOn(notes).length]).toEqual([['new'], 1]);
  await sweepUntouched(app, notes, null, async () => false);
  expect([ids(), untouchedOn(notes)]).toEqual([[], []]);
});

it('one that was written in since stays, and is forgotten as new', async () => {
  const { app, phrase, revision, ids } = await begun();
  const notes = shelf();
  noteUntouched(notes, { id: 'new', began: revision });
  await app.store.save({ ...phrase, meta: { ...phrase.meta, title: 'Mine' } }, revision);
  await sweepUntouched(app, notes, null, async () => false);
  expect([ids(), untouchedOn(notes)]).toEqual([['new'], []]);
});

it('one that is begun before the library is open waits for it', async () => {
  vi.stubGlobal('window', Object.assign(new EventTarget(), { location: { hash: '' } }));
  const store = createMemoryStore({ phrases: [] });
  expect(store.snapshot().state).toBe('opening');
  const told: string[] = [];
  const notices = { trouble: (text: string) => void told.push(text) };
  const names = { newId: () => 'new', now: () => '2026-11-27T10:00:00Z' };
  // Where it leads the page is another test's.
  await writeNewPhrase({ ...names, store, notices } as unknown as App).catch(() => undefined);
  expect([store.phrase('new') !== null, told]).toEqual([true, []]);
  vi.unstubAllGlobals();
});
