import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { writeWav } from '../../src/io/wav/write';
import { longTake } from '../support/long-take';
import { launchBrowser, visit } from './browser';
import { traceTasks } from './long-tasks';
import { serveFolder } from './serve-folder';

/**
 * The tasks of the page in which the phrases of a long caught file are drawn, and when the first and the last of them is
 * there: `npx tsx tests/e2e/catch-drawn.ts FOLDER [MINUTES]` with a build of the app. Tasks under 50 ms of processor time are
 * not told.
 */
const [folder, minutes = '5'] = process.argv.slice(2);
if (folder === undefined) throw new Error('a folder with a build of the app is missing');
const RATE = 44_100;
const place = mkdtempSync(path.join(tmpdir(), 'catch-drawn-'));
const wav = path.join(place, 'long.wav');
writeFileSync(wav, writeWav(longTake(Number(minutes), RATE), RATE));
const served = await serveFolder(folder);
const browser = await launchBrowser();

/** When the take came, and when the first and the last line of music were drawn. */
function watchPhrases() {
  const seen = { taken: 0, first: 0, last: 0, drawn: 0 };
  Object.assign(window, { seen });
  const looks = new MutationObserver(() => {
    if (seen.taken === 0 && document.querySelector('#catch-result') !== null) {
      seen.taken = performance.now();
    }
    const drawn = document.querySelectorAll('.caught .score svg').length;
    if (drawn === seen.drawn) return;
    if (seen.first === 0) seen.first = performance.now();
    seen.last = performance.now();
    seen.drawn = drawn;
  });
  looks.observe(document, { childList: true, subtree: true });
}

try {
  const { page } = await visit(browser, 'about:blank', '', { bypassCSP: true, ahead: true });
  await page.addInitScript(watchPhrases);
  await page.goto(`${served.address}#/catch`);
  await page.waitForFunction(() => performance.getEntriesByName('fetched ahead').length > 0);
  await page.getByLabel('Or a recording from a file').setInputFiles(wav);
  await page.getByText(/^Listening to it: (?:[5-9]\d|100)%/u).waitFor({ timeout: 600_000 });
  const trace = await traceTasks(page);
  await page.locator('#catch-result').waitFor({ timeout: 600_000 });
  // Until nothing more has been drawn for a while.
  for (let before = -1, now = 0; now !== before; ) {
    before = now;
    await page.waitForTimeout(2500);
    now = await page.locator('.caught .score svg').count();
  }
  const tasks = await trace();
  const { seen, phrases } = await page.evaluate(() => ({
    seen: (window as unknown as { seen: Record<'taken' | 'first' | 'last' | 'drawn', number> })
      .seen,
    phrases: document.querySelectorAll('.caught').length,
  }));
  const after = (t: number) => `${Math.round(t - seen.taken)} ms`;
  console.log(`${phrases} phrases in ${seen.drawn} lines of ${minutes} minutes`);
  console.log(`the first line after ${after(seen.first)}, the last after ${after(seen.last)}`);
  console.log(`${tasks.length} tasks of 50 ms or more`);
  for (const t of tasks)
    console.log(`${t.busy} ms (${t.ms}) at ${t.at}: ${t.of}\n  ${t.functions}`);
} finally {
  await browser.close();
  await served.close();
  rmSync(place, { recursive: true });
}
process.exit(0);
