import { beforeEach, describe, expect, it, vi } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { createMemoryStore } from '../../src/storage';
import { versionsLater } from '../../src/storage/later-versions';
import { withRecordings } from '../../src/storage/with-recordings';
import { freshBrowser, NOW, phraseNamed, saved } from './support';

const DAY = 24 * 60 * 60 * 1000;
const box = freshBrowser();
let recordings: typeof import('../../src/storage/recordings');

beforeEach(async () => {
  // Its connection is that of the browser before.
  vi.resetModules();
  recordings = await import('../../src/storage/recordings');
});

const recording = (id: string) => ({
  id,
  kept: new Date(NOW).toISOString(),
  type: 'audio/ogg',
  sound: new Uint8Array([1, 2, 3]).buffer,
  seconds: 1,
  begin: 0.3,
  played: [{ note: 'n1', onset: 0.3, end: 0.8, pitch: 60.1, confidence: 0.9 }],
  corrected: [],
});
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
});
