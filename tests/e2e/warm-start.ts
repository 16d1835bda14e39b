import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright';
import { build as buildApp } from 'vite';
import { readSamples } from '../support/samples';
import { CHROMIUM } from './browser';
import { fillOld } from './fill-old';
import { serveFolder } from './serve-folder';

/**
 * How long a library that was opened before takes to show itself:
 * `npx tsx tests/e2e/warm-start.ts 100000 PROFILE [ROUNDS]`. The profile is a folder that is filled the first
 * time and used again after that. Of each start: milliseconds from the beginning of navigation to the
 * first card, the first score and the number of phrases; tasks of the page's thread over 50 ms until
 * the first score and until all is read, with what of the program ran in them; the page's heap.
 */
const SIZE = Number(process.argv[2] ?? 10_000);
const PROFILE = path.resolve(process.argv[3] ?? '');
const ROUNDS = Number(process.argv[4] ?? 3);
/** A profile knows its library by the address it was filled at. */
const PORT = 4_719;
const root = path.resolve(import.meta.dirname, '../..');

const WATCH = `
  window.seen = {};
  window.long = [];
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) {
      window.long.push({ at: Math.round(e.startTime), ms: Math.round(e.duration) });
    }
  }).observe({ entryTypes: ['longtask'] });
  const look = () => {
    const now = Math.round(performance.now());
    const status = document.querySelector('.library-head [role=status]')?.textContent ?? '';
    if (document.querySelector('.card')) window.seen.card ??= now;
    if (document.querySelector('.card svg')) window.seen.score ??= now;
    if (/^[\\d,]+ phrases$/u.test(status)) window.seen.number ??= now;
    requestAnimationFrame(look);
  };
  look();
`;

interface Seen {
  readonly card?: number;
  readonly score?: number;
  readonly number?: number;
}

async function started(page: Page, name: string): Promise<void> {
  while (!(await page.evaluate('Boolean(window.seen?.score && window.seen?.number)'))) {
    await page.waitForTimeout(200);
  }
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  const all = (await page.evaluate('Math.round(performance.now())')) as number;
  await page.waitForTimeout(8_000);
  const [seen, long, heap, marks] = (await page.evaluate(
    `[window.seen, window.long, performance.memory?.usedJSHeapSize ?? 0, performance.getEntriesByType('mark').filter((m) => m.name.startsWith('t:')).map((m) => m.name.slice(2) + ' ' + Math.round(m.startTime))]`,
  )) as [Seen, { at: number; ms: number }[], number, string[]];
  const words = long.map((l) => `${l.at}+${l.ms}`).join(' ');
  console.log(
    `${name}: card ${seen.card}, score ${seen.score}, number ${seen.number}, all read ${all}; ${long.length} tasks over 50 ms (${words}); heap ${(heap / 1e6).toFixed(0)} MB`,
  );
  if (marks.length > 0) console.log(`  ${marks.join(', ')}`);
}

async function fill(context: BrowserContext, address: string): Promise<void> {
  const page = await context.newPage();
  page.setDefaultTimeout(1_800_000);
  const samples = readSamples().map((s) => s.phrase);
  const began = performance.now();
  await fillOld(page, address, samples, SIZE);
  await page.goto(`${address}#/`);
  await page
    .getByText(new RegExp(`^${SIZE} phrases$`, 'u'))
    .first()
    .waitFor();
  await page.locator('.card svg').first().waitFor();
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  await page.waitForTimeout(40_000);
  await page.close();
  console.log(`filled in ${((performance.now() - began) / 1000).toFixed(0)} s`);
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'warm-'));
await buildApp({ root, logLevel: 'error', build: { outDir: path.join(folder, 'app') } });
const served = await serveFolder(path.join(folder, 'app'), PORT);
const fresh = !existsSync(PROFILE);
const open = async () => {
  const context = await chromium.launchPersistentContext(PROFILE, {
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
  });
  await context.addInitScript('delete Navigator.prototype.serviceWorker');
  return context;
};
try {
  if (fresh) {
    const context = await open();
    await fill(context, served.address);
    await context.close();
  }
  const context = await open();
  const page = await context.newPage();
  page.setDefaultTimeout(600_000);
  await page.addInitScript(WATCH);
  if (ROUNDS > 0) {
    await page.goto(`${served.address}#/`);
    await started(page, 'a new browser');
  }
  for (let i = 1; i < ROUNDS; i++) {
    await page.reload();
    await started(page, `again ${i}`);
  }
  await context.close();
} finally {
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
