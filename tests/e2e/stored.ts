import type { Page } from 'playwright';
import { expect } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';

const SAMPLES = 33;

/** Every phrase in the database of the page, as it stands on the disk. */
export async function storedPhrases(page: Page): Promise<readonly Phrase[]> {
  const texts = await page.evaluate(
    () =>
      new Promise<string[]>((resolve, reject) => {
        const opening = indexedDB.open('degreewise');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const db = opening.result;
          const reading = db.transaction('records').objectStore('records').getAll();
          reading.onerror = () => reject(reading.error);
          reading.onsuccess = () => {
            db.close();
            resolve(reading.result.map((r: { readonly text: string }) => r.text));
          };
        };
      }),
  );
  return texts.map((text) => JSON.parse(text) as Phrase);
}

/** The phrase that the page is on, as it stands on the disk. */
export async function storedPhrase(page: Page): Promise<Phrase> {
  const id = decodeURIComponent(/#\/phrase\/([^/?]+)/u.exec(page.url())?.[1] ?? '');
  const found = (await storedPhrases(page)).find((p) => p.id === id);
  if (found === undefined) throw new Error(`no phrase ${id} is stored`);
  return found;
}

/** Waits until every sample is on the disk. The database is not made by looking: an empty one would be in the app's way. */
export async function samplesStored(page: Page): Promise<void> {
  const stored = () =>
    page.evaluate(async () => {
      const made = (await indexedDB.databases()).some((d) => d.name === 'degreewise');
      if (!made) return 0;
      const opening = indexedDB.open('degreewise');
      return new Promise<number>((resolve, reject) => {
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const db = opening.result;
          const counting = db.transaction('records').objectStore('records').count();
          counting.onerror = () => reject(counting.error);
          counting.onsuccess = () => {
            db.close();
            resolve(counting.result);
          };
        };
      });
    });
  await expect.poll(stored).toBe(SAMPLES);
}
