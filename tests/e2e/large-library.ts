import { once } from 'node:events';
import { createWriteStream, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { finished } from 'node:stream/promises';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import { libraryPieces } from '../../src/io/library/write';
import { readSamples } from '../support/samples';
import { launchBrowser, visit } from './browser';
import { traceTasks } from './long-tasks';
import { serveFolder } from './serve-folder';
import { writeFloor } from './write-floor';

/**
 * What a large library costs in the app: `npx tsx tests/e2e/large-library.ts 10000`. A backup of so
 * many phrases is brought in, the page is loaded again, everything is exported, removed and brought
 * back. Of each: seconds, and the tasks of the page's thread over 50 ms (number and longest), as the
 * browser itself counts them; the bytes of the second copy; the page's heap.
 */
const SIZE = Number(process.argv[2] ?? 1_000);
/** With TRACE=1 also what was in the tasks over 50 ms of the processor, with TRACE=wall of those by the clock. */
const TRACE = process.env.TRACE;
/** An app that is built already. */
const APP = process.env.APP;
/** How often everything is removed and brought back. */
const ROUNDS = Number(process.env.ROUNDS ?? 2);
/** With FLOOR=0 not what the browser alone takes. */
const FLOOR = process.env.FLOOR !== '0';
const SAMPLES = readSamples().length;
const root = path.resolve(import.meta.dirname, '../..');

async function backup(file: string): Promise<void> {
  const samples = readSamples().map((s) => s.phrase);
  const phrases = function* () {
    for (let i = 0; i < SIZE; i++) {
      const sample = samples[i % samples.length]!;
      yield {
        ...sample,
        id: `large-${i}`,
        meta: { ...sample.meta, title: `${sample.meta.title} ${i}` },
      };
    }
  };
  const out = createWriteStream(file);
  for (const piece of libraryPieces(phrases())) {
    if (!out.write(piece)) await once(out, 'drain');
  }
  out.end();
  await finished(out);
}

const WATCH = `
  window.long = [];
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) window.long.push(Math.round(e.duration));
  }).observe({ entryTypes: ['longtask'] });
`;

/**
 * Waits for a text of a page, looking for it now and then: a locator that waits looks through the whole
 * page so often that it makes long tasks of its own.
 */
async function said(page: Page, text: string, where = 'body'): Promise<void> {
  const look = `[...document.querySelectorAll(${JSON.stringify(where)})].some((e) => e.textContent.replaceAll(',', '').includes(${JSON.stringify(text)}))`;
  while (!(await page.evaluate(look))) await page.waitForTimeout(100);
}

async function measured(page: Page, name: string, work: () => Promise<unknown>): Promise<void> {
  await page.evaluate('window.long.length = 0');
  const trace = TRACE ? await traceTasks(page, TRACE === 'wall' ? 'ms' : 'busy') : null;
  const began = performance.now();
  await work();
  const seconds = (performance.now() - began) / 1000;
  await page.waitForTimeout(1_500);
  const traced = (await trace?.()) ?? [];
  const long = (await page.evaluate('window.long')) as readonly number[];
  const state = (await page.evaluate(`(async () => {
    const root = await navigator.storage.getDirectory();
    let bytes = 0, files = 0;
    for await (const [name, handle] of root.entries()) {
      if (handle.kind !== 'directory') continue;
      for await (const [n, f] of handle.entries()) {
        // What is tidied away meanwhile counts for nothing.
        if (f.kind === 'file') { files += 1; bytes += await f.getFile().then((x) => x.size, () => 0); }
      }
    }
    return { bytes, files, heap: performance.memory?.usedJSHeapSize ?? 0 };
  })()`)) as { bytes: number; files: number; heap: number };
  const mega = (n: number) => (n / 1e6).toFixed(1);
  console.log(
    `${name}: ${seconds.toFixed(1)} s, ${long.length} tasks over 50 ms, longest ${Math.max(0, ...long)} ms; copy ${mega(state.bytes)} MB in ${state.files} files, heap ${mega(state.heap)} MB`,
  );
  if (long.length > 0)
    console.log(
      `  ${[...long]
        .sort((a, b) => b - a)
        .slice(0, 12)
        .join(' ')}`,
    );
  for (const t of traced)
    console.log(
      `  at ${t.at}: ${t.ms} ms, ${t.busy} of the processor: ${t.of}\n    ${t.functions}`,
    );
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'large-'));
const file = path.join(folder, 'backup.json');
const app = APP ?? path.join(folder, 'app');
if (APP === undefined)
  await buildApp({
    root,
    logLevel: 'warn',
    build: { outDir: app, ...(TRACE && { minify: false }) },
  });
await backup(file);
const served = await serveFolder(app);
const browser = await launchBrowser();
try {
  const { page } = await visit(browser, served.address, '#/', { ahead: true });
  page.setDefaultTimeout(1_800_000);
  await page.getByText(`${SAMPLES} phrases`, { exact: true }).waitFor();
  await page.evaluate(WATCH);
  const all = `${(SIZE + SAMPLES).toLocaleString('en-US')} phrases`;
  const plain = `${SIZE + SAMPLES} phrases`;
  const shown = page.getByText(new RegExp(`^(${all}|${plain})$`, 'u')).first();
  // What a first start does is no part of it: parts that are fetched ahead, the phrase that moves.
  const rested = `performance.getEntriesByName('fetched ahead').length > 0`;
  while (!(await page.evaluate(rested))) await page.waitForTimeout(100);
  await page.waitForTimeout(500);
  await measured(page, `import ${SIZE}`, async () => {
    const choosing = page.waitForEvent('filechooser');
    await page
      .getByRole('button', { name: /Bring|Import/u })
      .first()
      .click();
    await (await choosing).setFiles(file);
    await said(page, 'came into the library', 'h2');
    await said(page, plain);
  });
  await page.getByRole('button', { name: 'Close', exact: true }).first().click();
  await page.addInitScript(WATCH);
  await measured(page, 'load again', async () => {
    await page.reload();
    await shown.waitFor();
  });
  // What the list needs is kept once it was read; a start after that is the usual one.
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  await page.waitForTimeout(4_000);
  await measured(page, 'load once more, to the first score', async () => {
    await page.reload();
    await page.locator('.card svg').first().waitFor();
  });
  if (FLOOR) {
    const texts = readSamples().map((s) => JSON.stringify(s.phrase));
    const floor = await writeFloor(page, SIZE, texts, 256);
    console.log(
      `nothing but the browser, ${SIZE} such texts: put ${floor.put.toFixed(1)} s, read and put again ${floor.rewrite.map((n) => n.toFixed(1)).join(', ')} s, as files ${floor.files.toFixed(1)} s`,
    );
  }
  const act = async (title: string | RegExp) => {
    await page.keyboard.press('Control+.');
    await page.getByRole('option', { name: title }).first().click();
  };
  // A file for each phrase takes its time, and is looked at in small libraries only.
  for (const format of SIZE > 1_000 ? ['json'] : ['json', 'musicxml']) {
    await measured(page, `export all as ${format}`, async () => {
      await act(/Export all that are shown/u);
      await page.getByRole('radio', { name: `(.${format})` }).check();
      const saving = page.waitForEvent('download');
      await page.getByRole('button', { name: 'Export', exact: true }).last().click();
      await (await saving).path();
    });
  }
  for (let round = 1; round <= ROUNDS; round++) {
    await act('Choose all that are shown');
    await measured(page, `remove all (${round})`, async () => {
      await act(/^Remove .* chosen phrase/u);
      await said(page, 'phrases removed.');
    });
    await measured(page, `undo (${round})`, async () => {
      await act('Bring back what was removed last');
      await said(page, 'brought back');
      await said(page, plain);
    });
  }
} finally {
  await browser.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
