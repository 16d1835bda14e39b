import type { Page } from 'playwright';
import type { Phrase } from '../../src/core/phrase/types';

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
