import type { Browser, Page } from 'playwright';
import { afterAll, afterEach, beforeAll, describe, expect, inject, it } from 'vitest';
import { launchBrowser, type Visit, visit } from './browser';

const address = inject('appAddress');

let browser: Browser;
let open: Visit | null = null;

beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());
afterEach(async () => {
  const complaints = open?.complaints ?? [];
  await open?.context.close();
  open = null;
  expect(complaints).toEqual([]);
});

/** An empty phrase; the score has the focus. */
async function emptyPhrase(): Promise<Page> {
  open = await visit(browser, address, '');
  const { page } = open;
  await page.getByText('32 phrases', { exact: true }).waitFor();
  await page.keyboard.press('Control+.');
  await page.getByRole('combobox', { name: 'Say what you want to do' }).fill('write a new');
  await page.keyboard.press('Enter');
  await ready(page);
  return page;
}

async function ready(page: Page): Promise<void> {
  await page.locator('.write-score svg').first().waitFor();
  await page.getByRole('application').focus();
}

async function press(page: Page, ...keys: readonly string[]): Promise<void> {
  for (const key of keys) await page.keyboard.press(key);
}

/** Loads the page anew, and waits until something can be undone or done again. */
async function reload(page: Page, steps: 'undo' | 'redo'): Promise<void> {
  await page.getByText('Saved.', { exact: true }).waitFor();
  await page.reload();
  await ready(page);
  const button = steps === 'undo' ? /^Undo “/u : /^Do again: “/u;
  await page.getByRole('button', { name: button }).first().waitFor();
}

/** The places of the phrase on the disk, moment by moment, read past the program. */
async function written(page: Page): Promise<readonly string[]> {
  await page.getByText('Saved.', { exact: true }).waitFor();
  const id = decodeURIComponent(/#\/phrase\/([^/?]+)/u.exec(page.url())![1]!);
  const text = await page.evaluate(
    (key) =>
      new Promise<string>((resolve, reject) => {
        const opening = indexedDB.open('degreewise');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const reading = opening.result.transaction('phrases').objectStore('phrases').get(key);
          reading.onerror = () => reject(reading.error);
          reading.onsuccess = () => {
            opening.result.close();
            resolve(reading.result.text);
          };
        };
      }),
    id,
  );
  const { voices } = JSON.parse(text);
  return voices[0].events.map(
    (e: { readonly notes: readonly { readonly string: number; readonly fret: number }[] }) =>
      e.notes.map((n) => `${n.string}/${n.fret}`).join('+'),
  );
}

describe('a phrase after a reload of the page', () => {
  it('is undone back to the empty phrase, and done again, also after one more reload', async () => {
    const page = await emptyPhrase();
    await press(page, '5', 'Enter', '7', 'Enter', '8');
    expect(await written(page)).toEqual(['3/5', '3/7', '3/8']);
    await reload(page, 'undo');
    await press(page, 'Control+z', 'Control+z', 'Control+z');
    expect(await written(page)).toEqual([]);
    await press(page, 'Control+y');
    expect(await written(page)).toEqual(['3/5']);
    await press(page, 'Control+z');
    await reload(page, 'redo');
    await press(page, 'Control+y', 'Control+y');
    expect(await written(page)).toEqual(['3/5', '3/7']);
    await reload(page, 'undo');
    await press(page, 'Control+y');
    expect(await written(page)).toEqual(['3/5', '3/7', '3/8']);
  });
});
