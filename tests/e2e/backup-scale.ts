import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import path from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright';
import { build as buildApp } from 'vite';
import { CHROMIUM } from './browser';
import { serveFolder } from './serve-folder';

/**
 * A full backup of a large library and its return: `npx tsx tests/e2e/backup-scale.ts PROFILE [BUILT APP] [FILE]`. The profile is
 * a copy of the folder of `warm-start.ts`; where a file is named, that is brought in and no backup made. With ONLY=make none is brought in. The backup is begun and stopped half way, then made; it is brought into an
 * empty browser, stopped half way there too, then brought in whole. Of each: seconds, seconds of the processor and the
 * most memory of all processes of the browser, the most of the heap of the page, and how many phrases are there then.
 */
const PROFILE = path.resolve(process.argv[2] ?? '');
const BUILT = process.argv[3];
/** A profile knows its library by the address it was filled at. */
const PORT = 4_719;
const root = path.resolve(import.meta.dirname, '../..');
/** Ticks of the processor in a second, as Linux counts them for programs. */
const TICKS = 100;

/** Seconds of the processor and MB of the processes that have a word in their command line, as the system tells. */
function processes(word: string): { readonly seconds: number; readonly megabytes: number } {
  let [ticks, kilobytes] = [0, 0];
  for (const pid of readdirSync('/proc').filter((n) => /^\d+$/u.test(n))) {
    try {
      if (!isOf(pid, word)) continue;
      const stat = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
      ticks += Number(stat[11]) + Number(stat[12]);
      // What several processes share is counted in parts.
      const rollup = readFileSync(`/proc/${pid}/smaps_rollup`, 'utf8');
      kilobytes += Number(/^Pss:\s+(\d+)/mu.exec(rollup)?.[1] ?? 0);
    } catch {
      // It has ended meanwhile.
    }
  }
  return { seconds: ticks / TICKS, megabytes: kilobytes / 1024 };
}

/** Whether a process, or the one that began it, has the word; a page's process has not the folder of its browser. */
function isOf(pid: string, word: string): boolean {
  for (let at = pid, up = 0; at !== '0' && up < 4; up++) {
    if (readFileSync(`/proc/${at}/cmdline`, 'utf8').includes(word)) return !isNode(at);
    at = /^PPid:\s+(\d+)/mu.exec(readFileSync(`/proc/${at}/status`, 'utf8'))?.[1] ?? '0';
  }
  return false;
}

const isNode = (pid: string) => readFileSync(`/proc/${pid}/comm`, 'utf8').startsWith('node');

async function measured(page: Page, word: string, name: string, work: () => Promise<unknown>) {
  const before = processes(word);
  let [most, heap, done] = [before.megabytes, 0, false];
  const looking = (async () => {
    while (!done) {
      most = Math.max(most, processes(word).megabytes);
      heap = Math.max(
        heap,
        (await page.evaluate('performance.memory.usedJSHeapSize').catch(() => 0)) as number,
      );
      await page.waitForTimeout(400);
    }
  })();
  const began = performance.now();
  await work();
  const seconds = (performance.now() - began) / 1000;
  done = true;
  await looking;
  const busy = processes(word).seconds - before.seconds;
  console.log(
    `${name}: ${seconds.toFixed(0)} s, ${busy.toFixed(0)} s of the processor; all processes ${before.megabytes.toFixed(0)} MB before, ${most.toFixed(0)} at most; heap of the page ${(heap / 1e6).toFixed(0)} MB at most`,
  );
}

/** A locator that waits looks through the whole page over and over. */
async function said(page: Page, pattern: string): Promise<string> {
  for (;;) {
    const text = (await page.evaluate(
      `new RegExp(${JSON.stringify(pattern)}, 'u').exec(document.body.innerText.replaceAll(',', ''))?.[0] ?? ''`,
    )) as string;
    if (text !== '') return text;
    await page.waitForTimeout(300);
  }
}

async function opened(context: BrowserContext, address: string): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(1_800_000);
  await page.goto(`${address}#/`);
  await page.locator('.card svg').first().waitFor();
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  await page.waitForTimeout(3_000);
  return page;
}

function browserWith(profile: string): Promise<BrowserContext> {
  return chromium.launchPersistentContext(profile, {
    executablePath: CHROMIUM,
    acceptDownloads: true,
    args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--enable-precise-memory-info'],
    viewport: { width: 1280, height: 900 },
  });
}

async function makeBackup(context: BrowserContext, address: string, file: string): Promise<void> {
  const page = await opened(context, address);
  console.log(await said(page, '\\d+ phrases'));
  const open = async () => {
    await page.keyboard.press('Control+.');
    await page
      .getByRole('option', { name: /^Back up/u })
      .first()
      .click();
  };
  await open();
  await measured(page, PROFILE, 'a backup, stopped half way', async () => {
    await page.getByRole('button', { name: 'Save the backup' }).click();
    const all = Number(/of (\d+)/u.exec(await said(page, 'Writing \\d+ of \\d+'))![1]);
    while (Number(/\d+/u.exec(await said(page, 'Writing \\d+'))![0]) < all / 2) {
      await page.waitForTimeout(200);
    }
    await page.getByRole('button', { name: 'Stop' }).click();
  });
  console.log(await said(page, '\\d+ phrases'));
  await open();
  await measured(page, PROFILE, 'a backup', async () => {
    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save the backup' }).click();
    await (await saving).saveAs(file);
  });
  console.log(`${(statSync(file).size / 1e6).toFixed(0)} MB; ${await said(page, 'Saved as .*')}`);
}

const REPORT = `document.querySelector('.import')?.innerText.slice(0, 300)`;

async function bringBack(context: BrowserContext, address: string, file: string, profile: string) {
  const page = await opened(context, address);
  const choose = async () => {
    const choosing = page.waitForEvent('filechooser');
    await page
      .getByRole('button', { name: /^Bring phrases in/u })
      .first()
      .click();
    await (await choosing).setFiles(file);
  };
  console.log(await said(page, '\\d+ phrases'));
  await measured(page, profile, 'brought in, stopped half way', async () => {
    await choose();
    await said(page, 'Bringing in ');
    while (!(await page.evaluate('document.querySelector(".import progress")?.value >= 0.5'))) {
      await page.waitForTimeout(200);
    }
    await page.getByRole('button', { name: 'Stop', exact: true }).first().click();
    await page.getByRole('button', { name: 'Close', exact: true }).first().waitFor();
  });
  console.log(await said(page, '\\d+ phrases'), await page.evaluate(REPORT));
  await page.getByRole('button', { name: 'Close', exact: true }).first().click();
  await measured(page, profile, 'brought in', async () => {
    await choose();
    await said(page, 'came into the library');
  });
  console.log(await said(page, '\\d+ phrases'), await page.evaluate(REPORT));
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'backup-'));
const app = BUILT ?? path.join(folder, 'app');
if (BUILT === undefined) await buildApp({ root, logLevel: 'error', build: { outDir: app } });
const served = await serveFolder(app, process.argv[4] === undefined ? PORT : 4_741);
const given = process.argv[4];
const file = given ?? path.join(folder, 'backup.json');
let context: BrowserContext | null = null;
try {
  if (given === undefined) {
    context = await browserWith(PROFILE);
    await context.addInitScript('delete Navigator.prototype.serviceWorker');
    await makeBackup(context, served.address, file);
    await context.close();
  }
  if (process.env.ONLY !== 'make') {
    const fresh = path.join(folder, 'profile');
    context = await browserWith(fresh);
    await context.addInitScript('delete Navigator.prototype.serviceWorker');
    await bringBack(context, served.address, file, fresh);
  }
} finally {
  await context?.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
