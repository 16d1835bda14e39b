import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright';
import { build as buildApp } from 'vite';
import { define } from '../../src/core/search/define/define';
import { readQuery } from '../../src/core/search/query/read';
import { readSamples } from '../support/samples';
import { CHROMIUM } from './browser';
import { fillOld } from './fill-old';
import { serveFolder } from './serve-folder';

/*
 * A library of so many phrases in a browser that can be killed, with questions of which the answers are reckoned beside
 * it: what the scripts on the index of the search have in common. The size is their first argument.
 */
export const SIZE = Number(process.argv[2] ?? 2_000);
/** What is waited for takes so many times as long as in a small library: its index is made anew, in a browser among others. */
export const PATIENCE = Math.max(1, SIZE / 10_000);
const root = path.resolve(import.meta.dirname, '../..');
export const QUESTIONS = ['5 .. 6', 'with:slide', 'I7>IV7', 'level:1 not with:bend'];

export const samples = readSamples().map((s) => s.phrase);
/** So many phrases a question finds, by its definition: phrase i is sample i, over and over. */
const expected = QUESTIONS.map((text) => {
  const read = readQuery(text);
  if (!read.ok) throw new Error(text);
  const holding = samples.map((p) => define(read.value.query, p).holds);
  return Array.from({ length: SIZE }, (_, i) => holding[i % samples.length]).filter(Boolean).length;
});

export const scratch = mkdtempSync(path.join(os.tmpdir(), 'degreewise-index-'));
/** A copy of the folder of `warm-start.ts`, with as many phrases as are named, that is used in place of one that is filled. */
const KEPT_PROFILE = process.env.PROFILE;
const profile =
  KEPT_PROFILE === undefined ? path.join(scratch, 'profile') : path.resolve(KEPT_PROFILE);
/** Tags that were said to be saved, and on how many phrases. */
const tagged: (readonly [name: string, phrases: number])[] = [];
let faults = 0;

export function faultsSoFar(): number {
  return faults;
}

export function fault(what: string): void {
  faults++;
  console.log(`  WRONG: ${what}`);
}

export async function start(): Promise<{ browser: ChildProcess; context: BrowserContext }> {
  const said = path.join(profile, 'DevToolsActivePort');
  rmSync(said, { force: true });
  const args = ['--headless', '--no-sandbox', '--disable-gpu', '--no-first-run'];
  // In a process group of its own, so that one signal ends all of its processes at once.
  const browser = spawn(
    CHROMIUM,
    [...args, '--remote-debugging-port=0', `--user-data-dir=${profile}`],
    { detached: true, stdio: 'ignore' },
  );
  while (!existsSync(said) || readFileSync(said, 'utf8') === '') await pause(100);
  const port = readFileSync(said, 'utf8').split('\n')[0];
  const over = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
  const context = over.contexts()[0]!;
  await context.addInitScript('delete Navigator.prototype.serviceWorker');
  return { browser, context };
}

export async function killed(browser: ChildProcess): Promise<void> {
  const gone = once(browser, 'exit');
  process.kill(-browser.pid!, 'SIGKILL');
  await gone;
  await pause(300);
}

export const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

export async function opened(context: BrowserContext, address: string): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(180_000 * PATIENCE);
  await page.setViewportSize({ width: 1280, height: 900 });
  watched(page);
  await page.goto(`${address}#/`);
  await page.getByText(`${SIZE} phrases`, { exact: true }).first().waitFor();
  return page;
}

/** Says what a page shows, every half minute while it is there: a large library is silent for long. */
function watched(page: Page): void {
  const number = ++pages;
  const began = performance.now();
  let before = '';
  const timer = setInterval(async () => {
    const says = (await Promise.race([
      page.evaluate(SHOWN).catch((e: Error) => e.message),
      pause(10_000).then(() => 'does not answer'),
    ])) as string;
    if (says === before || page.isClosed()) return;
    before = says;
    const kept = [...filesOnDisk().values()].filter((size) => size > 1e6 * PATIENCE);
    const mb = kept.map((size) => Math.round(size / 1e6)).join(' and ') || 'nothing';
    const s = Math.round((performance.now() - began) / 1000);
    console.log(`    window ${number}, ${s} s: ${says}; ${mb} MB on the disk`);
  }, 30_000);
  timer.unref();
  page.on('close', () => clearInterval(timer));
}
let pages = 0;
const SHOWN = `document.visibilityState + ', ' + (
  ['.library-head [role=status]', '.reading-phrases']
    .flatMap((where) => document.querySelector(where)?.textContent.trim() ?? [])
    .join(', ') || 'no library yet')`;

/** The library laid in as an older program left it, its index built and kept. */
export async function filled(context: BrowserContext, address: string): Promise<Page> {
  if (KEPT_PROFILE === undefined) {
    const filling = await context.newPage();
    await fillOld(filling, address, samples, SIZE);
    await filling.close();
  }
  const page = await opened(context, address);
  await asked(page, 'the first build');
  await keptAgain(page, 'the first build');
  return page;
}

export const field = (page: Page) => page.getByRole('combobox', { name: 'Find' });

/** Asks all that is known to be there, once the index has all of the library. */
export async function asked(page: Page, after: string): Promise<void> {
  const began = performance.now();
  await field(page).fill(QUESTIONS[0]!);
  await page
    .getByText(/^\d+ of \d+ phrases$/u)
    .first()
    .waitFor();
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  const took = performance.now() - began;
  const questions = [
    ...QUESTIONS.map((text, i) => [text, expected[i]!] as const),
    ...tagged.map(([tag, many]) => [`tag:"${tag}"`, many] as const),
  ];
  for (const [text, many] of questions) {
    await field(page).fill(text);
    const right = page.getByText(`${many} of ${SIZE} phrases`, { exact: true }).first();
    await right.waitFor({ timeout: 15_000 * PATIENCE }).catch(async () => {
      const says = await page.locator('.library-head [role=status]').textContent();
      fault(`after ${after}: '${text}' should find ${many}, the page says '${says}'`);
    });
  }
  await field(page).fill('');
  console.log(`${after}: asked after ${(took / 1000).toFixed(1)} s`);
}

/** Unlike every other: what no phrase says is taken for a slip of what is nearest. */
function nextTag(): string {
  const letter = String.fromCharCode(97 + (tagged.length % 26));
  return `${letter.repeat(9)}${tagged.length}`;
}

/** Gives one phrase a tag, which is said to be saved. */
export async function tag(page: Page, number: number): Promise<void> {
  const name = nextTag();
  await field(page).fill(`title:"${samples[number % samples.length]!.meta.title} ${number}"`);
  // What is offered lies over the list while the field has the focus.
  await field(page).blur();
  await page
    .getByRole('checkbox', { name: new RegExp(` ${number}$`, 'u') })
    .first()
    .check();
  await page.getByRole('button', { name: 'Put in order …' }).click();
  await page.getByLabel('Add tags').fill(name);
  await page.getByRole('button', { name: 'Do it' }).click();
  await page.getByText('1 phrase changed').first().waitFor();
  tagged.push([name, 1]);
  await page
    .getByRole('checkbox', { name: new RegExp(` ${number}$`, 'u') })
    .first()
    .uncheck();
  await field(page).fill('');
}

/**
 * Begins to give all of one sample a tag: three in a hundred, of which the index is written anew.
 * @returns how many these are.
 */
async function beginTagging(page: Page, sample: number, name: string): Promise<number> {
  await field(page).fill(`title:"${samples[sample]!.meta.title}"`);
  const many = Array.from({ length: SIZE }, (_, i) => i % samples.length === sample).filter(
    Boolean,
  ).length;
  await page.getByText(`${many} of ${SIZE} phrases`, { exact: true }).first().waitFor();
  await field(page).blur();
  await page.keyboard.press('Control+.');
  await page.keyboard.type('Choose all that are shown');
  await page.keyboard.press('Enter');
  await page.getByText(`${many} phrases chosen`, { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Put in order …' }).click();
  await page.getByLabel('Add tags').fill(name);
  await page.getByRole('button', { name: 'Do it' }).click();
  return many;
}

/**
 * Gives all of one sample a tag.
 * @param refused What the page is to say where that is to fail; then nothing of it may be there.
 */
export async function tagMany(page: Page, sample: number, refused?: RegExp): Promise<void> {
  const name = nextTag();
  const many = await beginTagging(page, sample, name);
  await page
    .getByText(refused ?? new RegExp(`${many} phrases changed`, 'u'))
    .first()
    .waitFor({ timeout: 60_000 * PATIENCE })
    .catch(async () => fault(`a tag for ${many}: ${await page.locator('.notices').textContent()}`));
  tagged.push([name, refused === undefined ? many : 0]);
}

/**
 * Kills the browser so many milliseconds after a tag was asked for on all of one sample.
 * @returns the tag and on how many it was to come; what there is of it, `foundAgain` says.
 */
export async function killedTagging(
  browser: ChildProcess,
  page: Page,
  sample: number,
  ms: number,
): Promise<{ readonly name: string; readonly many: number; readonly said: boolean }> {
  const name = nextTag();
  const many = await beginTagging(page, sample, name);
  await pause(ms);
  const said = await Promise.race([
    page
      .getByText(`${many} phrases changed`)
      .count()
      .catch(() => 0),
    pause(300).then(() => 0),
  ]);
  await killed(browser);
  return { name, many, said: said > 0 };
}

/** Compares what a search finds of a tag with what the database holds of it; all of it where that was said. */
export async function foundAgain(
  page: Page,
  { name, many, said }: { readonly name: string; readonly many: number; readonly said: boolean },
): Promise<void> {
  const there = await inDatabase(page, name);
  console.log(`  ${there} of ${many} have '${name}'; ${said ? '' : 'not '}said to be saved`);
  if (said && there !== many) fault(`${many} with '${name}' were said to be saved, ${there} are`);
  tagged.push([name, there]);
}

/** The browser's own files of the private file system, with their bytes. */
export function filesOnDisk(): ReadonlyMap<string, number> {
  const under = path.join(profile, 'Default', 'File System');
  const out = new Map<string, number>();
  for (const name of readdirSync(under, { recursive: true, encoding: 'utf8' })) {
    // Numbers are files; the rest is the browser's table of them.
    if (!/^\d+$/u.test(path.basename(name))) continue;
    const is = statSync(path.join(under, name), { throwIfNoEntry: false });
    if (is?.isFile()) out.set(name, is.size);
  }
  return out;
}

/**
 * Waits until the index is being written: a file has begun that was not there, beside the one it is to replace.
 * @returns its bytes so far; null where none came in half a minute, or what takes its place in a large library.
 */
export async function beingWritten(before: ReadonlyMap<string, number>): Promise<number | null> {
  const end = performance.now() + 30_000 * PATIENCE;
  while (performance.now() < end) {
    for (const [name, size] of filesOnDisk()) if (!before.has(name) && size > 0) return size;
    await new Promise((resolve) => setImmediate(resolve));
  }
  return null;
}

/** Does something with the file of the index; `file` is its handle, `folder` the one it lies in. */
export async function spoil(page: Page, how: string): Promise<void> {
  await page.evaluate(`(async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('degreewise-search', { create: true });
    const write = async (make) => {
      const file = await folder.getFileHandle('index', { create: true });
      const bytes = new Uint8Array(await (await file.getFile()).arrayBuffer());
      const out = await file.createWritable();
      await out.write(make(bytes));
      await out.close();
    };
    const noise = (length) => {
      const bytes = new Uint8Array(length);
      for (let i = 0; i < length; i += 65536) crypto.getRandomValues(bytes.subarray(i, i + 65536));
      return bytes;
    };
    ${how}
  })()`);
}

/** Whether a file is there, and has been for a while. */
export async function keptSize(page: Page): Promise<number> {
  return (await page.evaluate(`(async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('degreewise-search').catch(() => null);
    try { return (await (await folder.getFileHandle('index')).getFile()).size; } catch { return 0; }
  })()`)) as number;
}

/** Waits until the index lies on the disk (again); where it does not within a while, that is a fault. */
export async function keptAgain(page: Page, after: string): Promise<void> {
  const end = performance.now() + 7_000 * PATIENCE;
  await pause(6_500);
  while ((await keptSize(page)) === 0 && performance.now() < end) await pause(1_000);
  if ((await keptSize(page)) === 0) fault(`after ${after}: the index is not kept`);
}

/** How many phrases have a tag by what lies in the database, past the app and its index. */
export async function inDatabase(page: Page, name: string): Promise<number> {
  return (await page.evaluate(`(async () => {
    const done = (request) => new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const db = await done(indexedDB.open('degreewise'));
    let [found, after] = [0, null];
    for (;;) {
      const range = after === null ? null : IDBKeyRange.lowerBound(after, true);
      const store = db.transaction('records').objectStore('records');
      const records = await done(store.getAll(range, 500));
      if (records.length === 0) break;
      for (const r of records) if (r.text?.includes(${JSON.stringify(`"${name}"`)})) found++;
      const last = records.at(-1);
      after = store.keyPath instanceof Array ? store.keyPath.map((k) => last[k]) : last[store.keyPath];
    }
    db.close();
    return found;
  })()`)) as number;
}

/** The app, built if it is not handed in, at an address of its own; a kept profile knows its library by another. */
export async function serveApp(built: string | undefined, port: number) {
  const app = built ?? path.join(scratch, 'app');
  if (built === undefined) await buildApp({ root, logLevel: 'error', build: { outDir: app } });
  return serveFolder(app, KEPT_PROFILE === undefined ? port : 4_719);
}
