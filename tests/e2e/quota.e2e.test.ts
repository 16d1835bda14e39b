import path from 'node:path';
import type { Browser } from 'playwright';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchBrowser } from './browser';
import { bundlePage } from './bundle-page';
import type { QuotaPage } from './quota/page';

/** Nothing is served here: the test answers for it. */
const ORIGIN = 'http://localhost:9';
const QUOTA = 400_000;

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

describe('a browser whose space is full', () => {
  it('refuses, loses nothing, and writes again when there is room', async () => {
    const script = await bundlePage(path.join(import.meta.dirname, 'quota/page.ts'));
    const context = await browser.newContext();
    await context.route('**/*', (route) =>
      route.fulfill({
        contentType: 'text/html',
        body: '<!doctype html><title>Quota</title>',
      }),
    );
    const page = await context.newPage();
    const session = await context.newCDPSession(page);
    // Before the first write: Chromium remembers for a while how much room there was.
    await session.send('Storage.overrideQuotaForOrigin', { origin: ORIGIN, quotaSize: QUOTA });
    const open = async () => {
      await page.goto(ORIGIN);
      await page.addScriptTag({ content: script });
    };
    await open();
    const full = await page.evaluate(() => (window as unknown as { page: QuotaPage }).page.fill());
    expect(full?.saved).toBeGreaterThan(3);
    expect(full?.result).toMatchObject({ kind: 'quota', usage: expect.any(Number) });
    const expected = Array.from({ length: full?.saved ?? 0 }, (_, n) => `Number ${n}`).sort();
    expect(full?.titles).toEqual(expected);
    await session.send('Storage.overrideQuotaForOrigin', { origin: ORIGIN });
    await open();
    const later = await page.evaluate(() =>
      (window as unknown as { page: QuotaPage }).page.saveSmall('Zephyr'),
    );
    expect(later).toEqual({ kind: 'saved', titles: [...expected, 'Zephyr'] });
    await context.close();
  });
});
