import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright';
import { build as buildApp } from 'vite';
import { readSamples } from '../support/samples';
import { CHROMIUM } from './browser';
import { fillOld } from './fill-old';
import { traceTasks } from './long-tasks';
import { serveFolder } from './serve-folder';

/**
 * How long a library that was opened before takes to show itself:
 * `npx tsx tests/e2e/warm-start.ts 100000 PROFILE [ROUNDS]`. The profile is a folder that is filled the first
 * time and used again after that. Of each start: milliseconds from the beginning of navigation to the
 * first card, the first score and the number of phrases; tasks of the page's thread over 50 ms until
 * the first score and until all is read; the page's heap. And how long saving and undoing take.
 */
const SIZE = Number(process.argv[2] ?? 10_000);
const PROFILE = path.resolve(process.argv[3] ?? '');
const ROUNDS = Number(process.argv[4] ?? 3);
/** With TRACE=1 also what was in the long tasks. */
const TRACE = process.env.TRACE === '1';
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

async function started(page: Page, name: string, load: () => Promise<unknown>): Promise<void> {
  const trace = TRACE ? await traceTasks(page) : null;
  await load();
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
  for (const t of (await trace?.()) ?? [])
    console.log(`  at ${t.at}: ${t.ms} ms, ${t.busy} of the processor: ${t.of}`);
  if (marks.length > 0) console.log(`  ${marks.join(', ')}`);
}

/** Milliseconds from a key until what it wrote, or took back, is said to be saved. */
const WATCH_SAVES = `(() => {
  window.saves = [];
  let pressed = 0;
  window.addEventListener('keydown', () => { pressed = performance.now(); }, true);
  const look = () => {
    const text = document.querySelector('.save-state [role=status]')?.textContent ?? '';
    if (pressed > 0 && text === 'Saved.' && window.was !== 'Saved.') {
      window.saves.push(Math.round(performance.now() - pressed));
      pressed = 0;
    }
    window.was = text;
  };
  new MutationObserver(look).observe(document.body, {
    subtree: true, childList: true, characterData: true,
  });
})()`;

async function saves(page: Page, address: string): Promise<void> {
  await page.goto(`${address}#/phrase/large-${SIZE >> 1}/write`);
  const score = page.getByRole('application');
  await score.waitFor();
  await page.waitForTimeout(3_000);
  await page.evaluate(WATCH_SAVES);
  const half = (list: readonly number[]) => [...list].sort((a, b) => a - b)[list.length >> 1];
  const found: number[][] = [[], []];
  for (let i = 0; i < 12; i++) {
    await page.evaluate('window.saves.length = 0; window.long.length = 0');
    await score.press(i % 2 === 0 ? 'Delete' : 'Control+z');
    await page.waitForTimeout(1_500);
    found[i % 2]?.push(...((await page.evaluate('window.saves')) as number[]));
  }
  console.log(
    `from a key to 'Saved.', median: written ${half(found[0] ?? [])} ms, taken back ${half(found[1] ?? [])} ms (${found.map((f) => f.join(' ')).join(' / ')})`,
  );
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
    await started(page, 'a new browser', () => page.goto(`${served.address}#/`));
  }
  for (let i = 1; i < ROUNDS; i++) {
    await started(page, `again ${i}`, () => page.reload());
  }
  if (ROUNDS > 0) await saves(page, served.address);
  await context.close();
} finally {
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
