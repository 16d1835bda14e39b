import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import type { Browser, BrowserContextOptions, Page } from 'playwright';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, inject, it } from 'vitest';
import { launchBrowser } from './browser';
import { deployAnother } from './second-build';
import { type Served, serveFolder } from './serve-folder';

const folder = inject('appFolder');
const NO_WORKER: BrowserContextOptions = { serviceWorkers: 'block' };

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

let copy: string;
let served: Served;
beforeEach(async () => {
  copy = mkdtempSync(path.join(path.dirname(folder), 'app-test-copy-'));
  cpSync(folder, copy, { recursive: true });
  served = await serveFolder(copy);
});
afterEach(async () => {
  await served.close().catch(() => {
    // Closed by the test.
  });
  rmSync(copy, { recursive: true, force: true });
});

async function open(options: BrowserContextOptions): Promise<Page> {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  const page = await context.newPage();
  await page.goto(served.address);
  await page.locator('.card svg.dw-score').first().waitFor();
  return page;
}

/** Until the page has asked for everything that it may need later. */
const fetchedAhead = (page: Page) =>
  page.waitForFunction(() => performance.getEntriesByName('fetched ahead').length > 0);

const go = (page: Page, place: string) =>
  page.evaluate((hash) => {
    window.location.hash = hash;
  }, place);

/** Every place, and what is there once it is open. */
async function placesOf(page: Page): Promise<readonly (readonly [string, string])[]> {
  const href = await page
    .locator('.card h2 a', { hasText: 'Two Doors, One Key' })
    .getAttribute('href');
  const other = await page.locator('.card h2 a').first().getAttribute('href');
  const id = href!.replace('#/phrase/', '');
  return [
    [href!, '.phrase-page svg'],
    [`${href}/write`, '.write-score svg'],
    [`${href}/move?to=IV7`, '.move-page svg'],
    [`#/compare/${id}/${other!.replace('#/phrase/', '')}`, '.compare-page svg'],
    [`#/print/${id}`, '.sheet svg'],
    ['#/help/keys', '.keys-page h1'],
  ];
}

describe('a page that stays open', () => {
  it('keeps every part after another build was put in its place, without a service worker', async () => {
    const page = await open(NO_WORKER);
    const places = await placesOf(page);
    await fetchedAhead(page);
    deployAnother(copy);
    for (const [place, there] of places) {
      await go(page, place);
      await page.locator(there).first().waitFor();
    }
    await go(page, places[1]![0]);
    for (const part of ['Chords', 'Metre, key, tempo and instrument', 'As text']) {
      await page.getByText(part, { exact: true }).click();
    }
    await page.getByRole('textbox', { name: /text/iu }).first().waitFor();
    expect(await page.locator('.missing').count()).toBe(0);
    await page.keyboard.press('Control+.');
    await page.getByRole('combobox', { name: 'Say what you want to do' }).waitFor();
    await page.context().close();
  });

  it('says what to do for parts that did not come before the network went', async () => {
    const context = await browser.newContext(NO_WORKER);
    const page = await context.newPage();
    // What comes after the first card is held back until the network is gone.
    let held = true;
    const early =
      /\/(?:start|drawing|samples|json|encode|rolldown-runtime|browser)-[^/]*\.(?:js|css)$/u;
    await page.route('**/assets/**', async (route) => {
      const url = route.request().url();
      if (held && /\.(?:js|css)$/u.test(url) && !early.test(url)) await route.abort();
      else await route.continue();
    });
    await page.goto(served.address);
    await page.locator('.card svg.dw-score').first().waitFor();
    const places = await placesOf(page);
    // What failed while there was a network says so; only what is asked for after it is gone can tell.
    await fetchedAhead(page);
    await context.setOffline(true);
    for (const [place] of places) {
      await go(page, place);
      const words = page.locator('.missing');
      await words.waitFor();
      expect(await words.textContent()).toMatch(/could not be fetched\. There is no network/u);
    }
    held = false;
    await context.setOffline(false);
    for (const [place, there] of places) {
      await go(page, place);
      await page.locator(there).first().waitFor();
    }
    await context.close();
  });

  it('says that a newer build has taken its place, and loading again brings that', async () => {
    const context = await browser.newContext(NO_WORKER);
    const page = await context.newPage();
    await page.route('**/assets/write-page-*.js', (route) => route.abort());
    await page.goto(served.address);
    await page.locator('.card svg.dw-score').first().waitFor();
    await fetchedAhead(page);
    const [, [place, there]] = (await placesOf(page)) as [unknown, readonly [string, string]];
    await page.unroute('**/assets/write-page-*.js');
    deployAnother(copy);
    await go(page, place);
    await page.getByText('A newer Degreewise has taken the place of this one').waitFor();
    await page.getByRole('button', { name: 'Load the page again' }).click();
    await page.locator(there).first().waitFor();
    await context.close();
  });

  it('is answered for by the first service worker at once, so that nothing needs a second visit', async () => {
    const page = await open({});
    await expect
      .poll(() => page.evaluate(() => navigator.serviceWorker.controller !== null), {
        timeout: 60_000,
      })
      .toBe(true);
    expect(await page.getByText('Load this one again').count()).toBe(0);
    deployAnother(copy);
    // The reader of files is no module of the page: only the service worker still has it.
    await go(page, '#/');
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in …' }).click();
    await (await chooser).setFiles({
      name: 'no.json',
      mimeType: 'application/json',
      buffer: Buffer.from('[]'),
    });
    await page.getByText('there is no phrase and no library here').waitFor();
    await page.context().close();
  });
});
