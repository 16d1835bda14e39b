import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { storedPhrase } from './stored';
import { visits } from './visits';

const app = visits();

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
  const { voices } = await storedPhrase(page);
  return voices[0].events.map((e) => e.notes.map((n) => `${n.string}/${n.fret}`).join('+'));
}

describe('a phrase after a reload of the page', () => {
  it('is undone back to the empty phrase, and done again, also after one more reload', async () => {
    const page = await app.emptyBar();
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
