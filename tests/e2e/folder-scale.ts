import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import { libraryPieces } from '../../src/io/library/write';
import { readSamples } from '../support/samples';
import { launchBrowser, visit } from './browser';
import { traceTasks } from './long-tasks';
import { serveFolder } from './serve-folder';

/**
 * What a folder in step costs with a large library: `npx tsx tests/e2e/folder-scale.ts 10000`. Seconds, tasks
 * of the page's thread over 50 ms and the heap, of the first time in step, of a look at
 * the whole folder with nothing changed and with one edit made elsewhere, of an edit here until it
 * lies in the folder, and of a visit that begins with it. The folder is of the private file system.
 * `APP=FOLDER` takes a build that is there, `TRACE=1` tells the tasks over 50 ms of processor time and what is in them.
 */
const TRACE = process.env.TRACE === '1';
const SIZE = Number(process.argv[2] ?? 1_000);
const root = path.resolve(import.meta.dirname, '../..');

const WATCH = `
  window.long = [];
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) window.long.push(Math.round(e.duration));
  }).observe({ entryTypes: ['longtask'] });
  window.written = 0;
  const createWritable = FileSystemFileHandle.prototype.createWritable;
  FileSystemFileHandle.prototype.createWritable = function (...all) {
    // The second copy of the library is written as well; only files of things have such names.
    if (/\\.[0-9a-f]{8}(-\\d+)?\\.json$/u.test(this.name)) window.written += 1;
    return createWritable.apply(this, all);
  };
  window.showDirectoryPicker = async () =>
    (await navigator.storage.getDirectory()).getDirectoryHandle('shared', { create: true });
`;

function* phrases() {
  const samples = readSamples().map((s) => s.phrase);
  for (let i = 0; i < SIZE; i++) {
    const sample = samples[i % samples.length]!;
    const meta = { ...sample.meta, title: `${sample.meta.title} ${i}` };
    yield { ...sample, id: `large-${i}`, meta };
  }
}

async function measured(page: Page, name: string, work: () => Promise<unknown>): Promise<void> {
  await page.evaluate('window.long.length = 0');
  const trace = TRACE ? await traceTasks(page) : null;
  const began = performance.now();
  await work();
  const seconds = (performance.now() - began) / 1000;
  const traced = (await trace?.()) ?? [];
  const [long, heap] = (await page.evaluate(
    '[window.long, performance.memory?.usedJSHeapSize ?? 0]',
  )) as [readonly number[], number];
  const most = [...long].sort((a, b) => b - a).slice(0, 12);
  console.log(
    `${name}: ${seconds.toFixed(1)} s, ${long.length} tasks over 50 ms (${most.join(' ')}), heap ${(heap / 1e6).toFixed(0)} MB`,
  );
  for (const { at, ms, busy, of, functions } of traced) {
    console.log(`  at ${at} ms: ${busy} of ${ms} ms busy: ${of}\n    ${functions}`);
  }
}

/** Asks the page now and then: a locator that waits makes long tasks of its own. */
async function holds(page: Page, expression: string): Promise<void> {
  while (!(await page.evaluate(expression))) await page.waitForTimeout(200);
}
const said = (page: Page, text: string) =>
  holds(page, `document.body.textContent.replaceAll(',', '').includes(${JSON.stringify(text)})`);

/** One file of the folder as another device would write it, made of what is there. */
async function elsewhere(): Promise<void> {
  const shared = await (await navigator.storage.getDirectory()).getDirectoryHandle('shared');
  const phrases = await shared.getDirectoryHandle('phrases');
  for await (const name of phrases.keys()) {
    const handle = await phrases.getFileHandle(name);
    const text = await (await handle.getFile()).text();
    const writable = await handle.createWritable();
    await writable.write(text.replace(/"bpm":\d+/u, '"bpm":77'));
    return writable.close();
  }
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'folder-'));
const app = process.env.APP ?? path.join(folder, 'app');
if (process.env.APP === undefined)
  await buildApp({ root, logLevel: 'warn', build: { outDir: app } });
writeFileSync(path.join(folder, 'backup.json'), [...libraryPieces(phrases())].join(''));
const served = await serveFolder(app);
const browser = await launchBrowser();
try {
  const { page, context } = await visit(browser, served.address, '#/', { ahead: true });
  await context.addInitScript(WATCH);
  page.setDefaultTimeout(1_800_000);
  await said(page, '33 phrases');
  await page.evaluate(WATCH);
  await measured(page, `import ${SIZE}`, async () => {
    const choosing = page.waitForEvent('filechooser');
    await page
      .getByRole('button', { name: /^Bring/u })
      .first()
      .click();
    await (await choosing).setFiles(path.join(folder, 'backup.json'));
    await said(page, 'came into the library');
  });
  await page.getByRole('button', { name: 'Close', exact: true }).first().click();
  await page.waitForTimeout(5_000);
  await measured(page, 'first time in step', async () => {
    await page.getByRole('button', { name: 'Keep a folder in step …' }).click();
    await page.getByRole('button', { name: 'Choose a folder …' }).click();
    await said(page, 'In step with the folder');
  });
  const look = () =>
    measured(page, 'a look at the whole folder', async () => {
      await page.getByRole('button', { name: 'Look at it now' }).click();
      await page.waitForTimeout(300);
      await holds(page, `![...document.querySelectorAll('dialog button')].some((b) => b.disabled)`);
    });
  await look();
  await page.evaluate(elsewhere);
  await look();
  await page.getByRole('button', { name: 'Close', exact: true }).last().click();
  await page.getByRole('checkbox').first().check();
  await page.getByRole('button', { name: 'Put in order …' }).click();
  await page.getByLabel('Add tags').fill('by the river');
  await page.evaluate('window.written = 0');
  await measured(page, 'an edit, until it lies in the folder (2 s of quiet in it)', async () => {
    await page.getByRole('button', { name: 'Do it' }).click();
    await holds(page, 'window.written > 0');
  });
  await measured(page, 'another visit, in step', async () => {
    await page.reload();
    await said(page, 'In step with the folder');
  });
} finally {
  await browser.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
