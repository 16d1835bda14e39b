import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import { readSamples } from '../support/samples';
import { launchBrowser } from './browser';
import { fillOld } from './fill-old';
import { serveFolder } from './serve-folder';

/**
 * A library of so many phrases as an older program left it, opened and used:
 * `npx tsx tests/e2e/very-large.ts 100000`. Of each: seconds, the tasks of the page's thread over 50 ms
 * (number and longest), the page's heap; and how long a fixed piece of work takes beside it.
 */
const SIZE = Number(process.argv[2] ?? 10_000);
const root = path.resolve(import.meta.dirname, '../..');

const WATCH = `
  window.long = [];
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) window.long.push(Math.round(e.duration));
  }).observe({ entryTypes: ['longtask'] });
`;

async function measured(page: Page, name: string, work: () => Promise<unknown>): Promise<void> {
  await page.evaluate('window.long = window.long ?? []; window.long.length = 0').catch(() => null);
  const began = performance.now();
  let failed = '';
  await work().catch((e: unknown) => {
    failed = ` FAILED ${String(e).slice(0, 160)}`;
  });
  const seconds = (performance.now() - began) / 1000;
  await page.waitForTimeout(500);
  const [long, beside, heap] = (await page.evaluate(`(() => {
    const long = [...(window.long ?? [])];
    const t = performance.now();
    let a = 1;
    for (let i = 0; i < 2e7; i++) a = Math.imul(a ^ i, 0x01000193);
    return [long, performance.now() - t, performance.memory?.usedJSHeapSize ?? 0];
  })()`)) as [readonly number[], number, number];
  const longest = [...long].sort((a, b) => b - a).slice(0, 8);
  console.log(
    `${name}: ${seconds.toFixed(2)} s${failed}; ${long.length} tasks over 50 ms (${longest.join(' ')}); heap ${(heap / 1e6).toFixed(0)} MB; beside it ${beside.toFixed(0)} ms`,
  );
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'very-large-'));
await buildApp({ root, logLevel: 'error', build: { outDir: path.join(folder, 'app') } });
const served = await serveFolder(path.join(folder, 'app'));
const browser = await launchBrowser();
try {
  const context = await browser.newContext();
  await context.addInitScript('delete Navigator.prototype.serviceWorker');
  const page = await context.newPage();
  page.setDefaultTimeout(400_000);
  await page.addInitScript(WATCH);
  const began = performance.now();
  await fillOld(
    page,
    served.address,
    readSamples().map((r) => r.phrase),
    SIZE,
  );
  console.log(`filled in ${((performance.now() - began) / 1000).toFixed(0)} s`);
  const tally = page.getByText(new RegExp(`^${SIZE} phrases$`, 'u')).first();
  const card = page.locator('.card svg').first();
  await measured(page, 'first opening, with what older programs left', async () => {
    await page.goto(`${served.address}#/`);
    await tally.waitFor();
  });
  await measured(page, 'its first score', () => card.waitFor());
  await measured(page, 'until all is read', () =>
    page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' }),
  );
  await page.waitForTimeout(6_000);
  for (const round of [1, 2]) {
    await measured(page, `load again ${round}: the number`, async () => {
      await page.reload();
      await tally.waitFor();
    });
    await measured(page, `load again ${round}: the first score`, () => card.waitFor());
    await measured(page, `load again ${round}: at rest`, async () => {
      await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
      await page.waitForTimeout(2_000);
    });
  }
  await measured(page, 'scroll through 40 screens', async () => {
    for (let i = 0; i < 40; i++) {
      await page.mouse.wheel(0, 700);
      await page.waitForTimeout(30);
    }
    await page.waitForTimeout(500);
  });
  await page.evaluate('scrollTo(0, 0)');
  await measured(page, 'open a phrase', async () => {
    await page.locator('.card h2 a').nth(3).click();
    await page.locator('svg.dw-score, main svg').first().waitFor();
  });
  const saved = page.getByText('Saved.', { exact: true }).first();
  await measured(page, 'write in it: one key, saved', async () => {
    await page.goto(`${page.url()}/write`);
    const score = page.getByRole('application');
    await score.waitFor();
    await page.waitForTimeout(800);
    await score.press('Delete');
    await saved.waitFor();
  });
  await measured(page, 'undo', async () => {
    await page.keyboard.press('Control+z');
    await page.waitForTimeout(50);
    await saved.waitFor();
  });
  await measured(page, 'back to the library', async () => {
    await page.goto(`${served.address}#/`);
    await card.waitFor();
  });
  const field = page.getByRole('combobox', { name: 'Find' });
  await measured(page, 'the first search, until all is in the index', async () => {
    await field.fill('slide');
    await page.getByText(/ of [\d,]+ phrases$/u).waitFor();
    await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  });
  await measured(page, 'another search, typed', async () => {
    await field.fill('');
    await page.waitForTimeout(300);
    await field.pressSequentially('bend', { delay: 60 });
    await page.getByText(/ of [\d,]+ phrases$/u).waitFor();
  });
  const other = await context.newPage();
  await measured(page, 'a second window', async () => {
    await other.goto(`${served.address}#/`);
    await other.locator('.card svg').first().waitFor();
  });
} finally {
  await browser.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
