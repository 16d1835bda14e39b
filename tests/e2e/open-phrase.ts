import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { type BrowserContext, type CDPSession, chromium, type Page } from 'playwright';
import { build as buildApp } from 'vite';
import { readSamples } from '../support/samples';
import { CHROMIUM } from './browser';
import { fillOld } from './fill-old';
import { serveFolder } from './serve-folder';

/**
 * What opening a phrase costs in libraries of several sizes: `npx tsx tests/e2e/open-phrase.ts [PROFILE] [BUILT APP]`.
 * Libraries of 1,000 and 10,000 are filled, the profile (a copy of that of `warm-start.ts`) holds a hundred thousand. The
 * same samples are opened in all of them in turn, so that what else the machine does falls on all alike. Milliseconds of
 * the processor that the page's thread has from the click on a card to the score, and the same by the clock.
 */
const PROFILE = process.argv[2];
const BUILT = process.argv[3];
const ROUNDS = 14;
/** A profile knows its library by the address it was filled at. */
const PORT = 4_719;
const root = path.resolve(import.meta.dirname, '../..');

interface Library {
  readonly name: string;
  readonly context: BrowserContext;
  readonly page: Page;
  readonly cdp: CDPSession;
  readonly busy: number[];
  readonly clock: number[];
}

async function opened(name: string, profile: string, address: string): Promise<Library> {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
    viewport: { width: 1280, height: 900 },
  });
  await context.addInitScript('delete Navigator.prototype.serviceWorker');
  const page = await context.newPage();
  page.setDefaultTimeout(600_000);
  const size = /^\d+$/u.test(name) ? Number(name) : 0;
  if (size > 0) {
    const samples = readSamples().map((s) => s.phrase);
    await fillOld(page, address, samples, size);
  }
  await page.goto(`${address}#/`);
  await page.locator('.card svg').first().waitFor();
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  await page.waitForTimeout(6_000);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
  return { name, context, page, cdp, busy: [], clock: [] };
}

/** Milliseconds of the processor that the page's thread has had in tasks. */
async function spent(cdp: CDPSession): Promise<number> {
  const { metrics } = await cdp.send('Performance.getMetrics');
  return 1_000 * (metrics.find((m) => m.name === 'TaskDuration')?.value ?? 0);
}

/** Clicks the n-th card; ends when its score is there, with milliseconds by the clock. */
const CLICK = (n: number) => `new Promise((resolve) => {
  const began = performance.now();
  new MutationObserver((_, o) => {
    if (document.querySelector('.phrase-page .score svg') === null) return;
    o.disconnect();
    resolve(performance.now() - began);
  }).observe(document.body, { subtree: true, childList: true });
  document.querySelectorAll('.card h2 a')[${n}].click();
})`;

async function openOne({ page, cdp, busy, clock }: Library, n: number, counts: boolean) {
  await page.waitForTimeout(500);
  const before = await spent(cdp);
  const time = (await page.evaluate(CLICK(n))) as number;
  const took = (await spent(cdp)) - before;
  if (counts) {
    busy.push(took);
    clock.push(time);
  }
  await page.waitForTimeout(800);
  await page.goBack();
  await page.locator('.card svg').first().waitFor();
}

const half = (list: readonly number[]) => [...list].sort((a, b) => a - b)[list.length >> 1] ?? 0;

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'open-'));
const app = BUILT ?? path.join(folder, 'app');
if (BUILT === undefined) await buildApp({ root, logLevel: 'error', build: { outDir: app } });
const served = await serveFolder(app, PORT);
const libraries: Library[] = [];
try {
  for (const size of ['1000', '10000']) {
    libraries.push(await opened(size, path.join(folder, size), served.address));
  }
  if (PROFILE !== undefined) {
    libraries.push(await opened('the profile', path.resolve(PROFILE), served.address));
  }
  for (let round = 0; round <= ROUNDS; round++) {
    // The first opening fetches what a phrase is shown with.
    for (const l of libraries) await openOne(l, round % 4, round > 0);
  }
  for (const { name, busy, clock } of libraries) {
    const all = busy.map((b) => Math.round(b)).join(' ');
    console.log(
      `${name}: median ${half(busy).toFixed(0)} ms of the processor (${all}), ${half(clock).toFixed(0)} ms by the clock`,
    );
  }
} finally {
  for (const { context } of libraries) await context.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
