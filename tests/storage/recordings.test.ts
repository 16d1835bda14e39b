import { openDB } from 'idb';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { createMemoryStore } from '../../src/storage';
import { versionsLater } from '../../src/storage/later-versions';
import { withRecordings } from '../../src/storage/with-recordings';
import { playedOf } from '../support/played';
import { freshBrowser, NOW, phraseNamed, saved } from './support';

const DAY = 24 * 60 * 60 * 1000;
const box = freshBrowser();
let recordings: typeof import('../../src/storage/recordings');

beforeEach(async () => {
  // Its connection is that of the browser before.
  vi.resetModules();
  recordings = await import('../../src/storage/recordings');
});

const soundOf = (id: string) => ({
  id,
  type: 'audio/ogg',
  sound: new Uint8Array([1, 2, 3]).buffer,
});
const recording = (id: string) => ({ played: playedOf(id), sound: soundOf(id) });
const has = async (id: string) => (await recordings.recordingOf(id)) !== null;

describe('recordings kept with phrases', () => {
  it('make no database before there is one, and come back as they were', async () => {
    expect(await has('a')).toBe(false);
    await recordings.removeRecordings(['a']);
    await recordings.tidyRecordings(await box.browser.ready(), NOW);
    const names = (await indexedDB.databases()).map((d) => d.name);
    expect(names).not.toContain('degreewise-recordings');
    await recordings.putRecording(recording('a'));
    expect(await recordings.recordingOf('a')).toEqual(recording('a'));
    await recordings.removeRecordings(['a', 'b']);
    expect(await has('a')).toBe(false);
  });

  it('stay while the phrase can be brought back, and go with it when it is deleted for good', async () => {
    box.browser.versions = withRecordings(versionsLater('degreewise-versions'));
    const store = await box.browser.ready();
    for (const id of ['a', 'b']) {
      await recordings.putRecording(recording(id));
      await saved(store, phraseNamed(id, id), null);
    }
    await store.remove(['a']);
    await recordings.tidyRecordings(store, NOW);
    await recordings.tidyRecordings(store, NOW + 400 * DAY);
    expect([await has('a'), await has('b')]).toEqual([true, true]);
    await store.things.forget([{ kind: PHRASES, id: 'a' }]);
    await vi.waitFor(async () => expect(await has('a')).toBe(false));
    expect(await has('b')).toBe(true);
  });

  it('of phrases found nowhere go after 30 days of that, and not while the library is not the one on the disk', async () => {
    const store = await box.browser.ready();
    await recordings.putRecording(recording('a'));
    const memory = createMemoryStore({ newId: () => 'x', now: () => NOW });
    await recordings.tidyRecordings(memory, NOW - 100 * DAY);
    await recordings.tidyRecordings(store, NOW);
    // It was back in between: the days are counted anew.
    const back = await saved(store, phraseNamed('a', 'a'), null);
    await recordings.tidyRecordings(store, NOW + 20 * DAY);
    const added = { kind: PHRASES, id: 'a', revision: back.revision };
    await store.things.withdraw([added]);
    await recordings.tidyRecordings(store, NOW + 31 * DAY);
    await recordings.tidyRecordings(store, NOW + 61 * DAY);
    expect(await has('a')).toBe(true);
    await recordings.tidyRecordings(store, NOW + 62 * DAY);
    expect(await has('a')).toBe(false);
  });

  it('are refused where they would leave no room for the library', async () => {
    const estimate = vi.fn(async () => ({ usage: 70e6, quota: 100e6 }));
    vi.stubGlobal('navigator', { storage: { estimate } });
    try {
      const refused = recordings.putRecording(recording('a'));
      await expect(refused).rejects.toMatchObject({ name: 'QuotaExceededError' });
      estimate.mockResolvedValue({ usage: 60e6, quota: 100e6 });
      await recordings.putRecording(recording('a'));
      expect(await has('a')).toBe(true);
    } finally {
      vi.unstubAllGlobals();
    }
  });

  it('are as they were where version 1 has kept them, and how they were played stands apart', async () => {
    const old = {
      ...{ id: 'a', kept: '2026-11-27T20:00:00.000Z', type: 'audio/ogg' },
      ...{ sound: new Uint8Array([1, 2, 3]).buffer, seconds: 1, begin: 0.3 },
      played: [
        { note: 'n2', onset: 0.9, end: 1, pitch: 62, confidence: 0.8 },
        { note: 'n1', onset: 0.3, end: 0.8, pitch: 60.1, confidence: 0.9 },
      ],
      corrected: ['Vibrato'],
    };
    const db = await openDB('degreewise-recordings', 1, {
      upgrade: (fresh) => {
        fresh.createObjectStore('recordings', { keyPath: 'id' });
        fresh.createObjectStore('missing');
      },
    });
    await db.put('recordings', old);
    // One whose notes are damaged keeps its sound.
    await db.put('recordings', { ...old, id: 'b', played: 'lost' });
    await db.put('recordings', { ...old, id: 'c', played: [old.played[0], null] });
    db.close();
    const a = await recordings.recordingOf('a');
    expect(a?.sound).toMatchObject({ id: 'a', type: 'audio/ogg', sound: old.sound });
    expect(a?.played).toMatchObject({ id: 'a', begin: 0.3, seconds: 1, corrected: ['Vibrato'] });
    expect(a?.played?.sounds.map((s) => [s.note, s.onset, s.pitch])).toEqual([
      ['n1', 0.3, 60.1],
      ['n2', 0.9, 62],
    ]);
    for (const id of ['b', 'c']) {
      expect(await recordings.recordingOf(id)).toMatchObject({ played: null, sound: { id } });
    }
  });

  it('come with a copy of the phrase, but for the sound', async () => {
    await recordings.copyPlayed('a', 'b');
    expect((await indexedDB.databases()).map((d) => d.name)).not.toContain('degreewise-recordings');
    await recordings.putRecording(recording('a'));
    await recordings.copyPlayed('a', 'b');
    await recordings.copyPlayed('c', 'd');
    expect(await recordings.recordingOf('b')).toEqual({ played: playedOf('b'), sound: null });
    expect(await recordings.recordingOf('a')).toEqual(recording('a'));
    expect(await has('d')).toBe(false);
  });

  it('are there, with nothing that can be read, where what was played is damaged and has no sound', async () => {
    const damaged = { ...playedOf('a'), sounds: 'lost' } as never;
    await recordings.putRecording({ played: damaged, sound: null });
    expect(await recordings.recordingOf('a')).toEqual({ played: null, sound: null });
    await recordings.copyPlayed('a', 'b');
    expect(await recordings.recordingOf('b')).toBeNull();
    // A backup that is brought in puts it right.
    await recordings.takePlayed([playedOf('a')]);
    expect(await recordings.recordingOf('a')).toEqual({ played: playedOf('a'), sound: null });
  });

  it('go without what was played, which goes without a sound', async () => {
    await recordings.putRecording({ played: playedOf('a'), sound: null });
    expect(await recordings.recordingOf('a')).toEqual({ played: playedOf('a'), sound: null });
    await recordings.putRecording({ played: null, sound: soundOf('a') });
    expect(await recordings.recordingOf('a')).toEqual(recording('a'));
    // Kept again, without the recording being there: that stays.
    const again = playedOf('a', '2026-11-29T20:00:00.000Z');
    await recordings.putRecording({ played: again, sound: null });
    expect(await recordings.recordingOf('a')).toEqual({ played: again, sound: soundOf('a') });
    await recordings.removeSound('a');
    expect(await recordings.recordingOf('a')).toEqual({ played: again, sound: null });
    await recordings.removeRecordings(['a']);
    expect(await has('a')).toBe(false);
  });

  it('give a backup how phrases were played, and take it from one, without what was here being changed', async () => {
    const textsOf = async (...ids: string[]) => {
      const all = [];
      for await (const some of recordings.playedTexts(new Set(ids))) all.push(some);
      return all;
    };
    expect(await textsOf('a')).toEqual([]);
    await recordings.putRecording(recording('a'));
    await recordings.putRecording({ played: playedOf('b'), sound: null });
    const damaged = { ...playedOf('c'), seconds: 'long' } as never;
    await recordings.putRecording({ played: damaged, sound: null });
    expect(await textsOf('a', 'c', 'x')).toEqual([
      { texts: [JSON.stringify(playedOf('a'))], unread: 1 },
    ]);
    const later = playedOf('a', '2026-11-29T20:00:00.000Z');
    expect(await recordings.takePlayed([later, playedOf('d')])).toEqual(['d']);
    expect((await recordings.recordingOf('a'))?.played).toEqual(playedOf('a'));
    // What is damaged comes back from a backup; what a newer program has kept is not written over.
    const newer = { ...playedOf('n'), version: 2 } as never;
    await recordings.putRecording({ played: newer, sound: null });
    expect(await recordings.takePlayed([playedOf('c'), playedOf('n')])).toEqual(['c']);
    expect((await recordings.recordingOf('c'))?.played).toEqual(playedOf('c'));
    await recordings.withdrawPlayed(['d']);
    expect(await has('d')).toBe(false);
  });
});
