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

/**
 * What becomes of the search when its index on the disk is damaged, when two windows keep it at once, and when the
 * browser is killed while it is kept: `npx tsx tests/e2e/index-damage.ts [SIZE = 2000] [KILLS = 6] [BUILT APP]`.
 * ONLY=kills leaves all but the kills out; those fall while the file is being written, which is looked at on the disk. After each, questions are asked in the field; how many phrases they find is reckoned beside it from the definitions
 * of the questions, and phrases that were given a tag before are asked for it. Ends with 1 where an answer is wrong.
 */
const SIZE = Number(process.argv[2] ?? 2_000);
const KILLS = Number(process.argv[3] ?? 6);
const BUILT = process.argv[4];
const root = path.resolve(import.meta.dirname, '../..');
const QUESTIONS = ['5 .. 6', 'with:slide', 'I7>IV7', 'level:1 not with:bend'];

const samples = readSamples().map((s) => s.phrase);
/** So many phrases a question finds, by its definition: phrase i is sample i, over and over. */
const expected = QUESTIONS.map((text) => {
  const read = readQuery(text);
  if (!read.ok) throw new Error(text);
  const holding = samples.map((p) => define(read.value.query, p).holds);
  return Array.from({ length: SIZE }, (_, i) => holding[i % samples.length]).filter(Boolean).length;
});

const scratch = mkdtempSync(path.join(os.tmpdir(), 'degreewise-index-'));
const profile = path.join(scratch, 'profile');
/** Tags that were said to be saved, and on how many phrases. */
const tagged: (readonly [name: string, phrases: number])[] = [];
let faults = 0;

function fault(what: string): void {
  faults++;
  console.log(`  WRONG: ${what}`);
}

async function start(): Promise<{ browser: ChildProcess; context: BrowserContext }> {
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

async function killed(browser: ChildProcess): Promise<void> {
  const gone = once(browser, 'exit');
  process.kill(-browser.pid!, 'SIGKILL');
  await gone;
  await pause(300);
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

async function opened(context: BrowserContext): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(180_000);
  await page.setViewportSize({ width: 1280, height: 900 });
  await page.goto(`${served.address}#/`);
  await page.getByText(`${SIZE} phrases`, { exact: true }).first().waitFor();
  return page;
}

const field = (page: Page) => page.getByRole('combobox', { name: 'Find' });

/** Asks all that is known to be there, once the index has all of the library. */
async function asked(page: Page, after: string): Promise<void> {
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
    await right.waitFor({ timeout: 15_000 }).catch(async () => {
      const says = await page.locator('.library-head [role=status]').textContent();
      fault(`after ${after}: '${text}' should find ${many}, the page says '${says}'`);
    });
  }
  await field(page).fill('');
  console.log(`${after}: asked after ${(took / 1000).toFixed(1)} s`);
}

/** Gives one phrase a tag, which is said to be saved. */
async function tag(page: Page, number: number): Promise<void> {
  const name = `mark${tagged.length}`;
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

/** Gives all of one sample a tag: three in a hundred, of which the index is written anew. */
async function tagMany(page: Page, sample: number): Promise<void> {
  const name = `mark${tagged.length}`;
  await field(page).fill(`title:"${samples[sample]!.meta.title}"`);
  const many = Array.from({ length: SIZE }, (_, i) => i % samples.length === sample).filter(
    Boolean,
  );
  await page.getByText(`${many.length} of ${SIZE} phrases`, { exact: true }).first().waitFor();
  await field(page).blur();
  await page.keyboard.press('Control+.');
  await page.keyboard.type('Choose all that are shown');
  await page.keyboard.press('Enter');
  await page.getByText(`${many.length} phrases chosen`, { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Put in order …' }).click();
  await page.getByLabel('Add tags').fill(name);
  await page.getByRole('button', { name: 'Do it' }).click();
  await page.getByText(`${many.length} phrases changed`).first().waitFor();
  tagged.push([name, many.length]);
}

/** The browser's own files of the private file system, with their bytes. */
function filesOnDisk(): ReadonlyMap<string, number> {
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
 * @returns its bytes so far; null where none came in half a minute.
 */
async function beingWritten(before: ReadonlyMap<string, number>): Promise<number | null> {
  const end = performance.now() + 30_000;
  while (performance.now() < end) {
    for (const [name, size] of filesOnDisk()) if (!before.has(name) && size > 0) return size;
    await new Promise((resolve) => setImmediate(resolve));
  }
  return null;
}

/** Does something with the file of the index; `file` is its handle, `folder` the one it lies in. */
async function spoil(page: Page, how: string): Promise<void> {
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

const DAMAGE: readonly (readonly [name: string, how: string])[] = [
  ['noise in its place', 'await write((b) => noise(b.length));'],
  ['short noise', 'await write(() => noise(11));'],
  ['half of it', 'await write((b) => b.slice(0, b.length >> 1));'],
  ['one bit', 'await write((b) => b.map((x, i) => (i === b.length >> 1 ? x ^ 1 : x)));'],
  ['no file', "await folder.removeEntry('index').catch(() => {});"],
  [
    'a folder in its place',
    "await folder.removeEntry('index'); await folder.getDirectoryHandle('index', { create: true });",
  ],
];

/** Whether a file is there, and has been for a while. */
async function keptSize(page: Page): Promise<number> {
  return (await page.evaluate(`(async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('degreewise-search', { create: true });
    try { return (await (await folder.getFileHandle('index')).getFile()).size; } catch { return 0; }
  })()`)) as number;
}

const app = BUILT ?? path.join(scratch, 'app');
if (BUILT === undefined) await buildApp({ root, logLevel: 'error', build: { outDir: app } });
const served = await serveFolder(app, 4_733);
let running: ChildProcess | null = null;
try {
  let { browser, context } = await start();
  running = browser;
  const filling = await context.newPage();
  await fillOld(filling, served.address, samples, SIZE);
  await filling.close();
  let page = await opened(context);
  await asked(page, 'the first build');
  await pause(7_000);
  if ((await keptSize(page)) === 0) fault('the index is not kept');

  for (const [name, how] of process.env.ONLY === 'kills' ? [] : DAMAGE) {
    await spoil(page, how);
    await page.close();
    page = await opened(context);
    await asked(page, name);
    await pause(6_500);
    if ((await keptSize(page)) === 0) fault(`after ${name}: the index is not kept again`);
  }

  if (process.env.ONLY !== 'kills') {
    // Two windows that build and keep at once, and are told of what the other saves.
    await spoil(page, DAMAGE[0]![1]);
    await page.close();
    const [one, two] = await Promise.all([opened(context), opened(context)]);
    await Promise.all([asked(one!, 'two at once, one'), asked(two!, 'two at once, the other')]);
    await one!.bringToFront();
    await tag(one!, 7);
    await two!.bringToFront();
    await tag(two!, 70);
    await asked(two!, 'a tag in each, the other');
    await one!.bringToFront();
    await asked(one!, 'a tag in each, one');
    await pause(7_000);
    await one!.close();
    await two!.reload();
    await two!.getByText(`${SIZE} phrases`, { exact: true }).first().waitFor();
    await asked(two!, 'loaded again');
    page = two!;
  }

  // Killed while the index is written: over none, over noise, and over the one that was right until then.
  let within = 0;
  for (let i = 0; i < KILLS; i++) {
    await asked(page, `kill ${i + 1}, before`);
    let before = filesOnDisk();
    if (i % 3 < 2) {
      await tag(page, 100 + i);
      await spoil(page, DAMAGE[i % 3 === 0 ? 4 : 0]![1]);
      await page.reload();
      await page.getByText(`${SIZE} phrases`, { exact: true }).first().waitFor();
      before = filesOnDisk();
      await field(page).fill(QUESTIONS[0]!);
    } else {
      await tagMany(page, i % samples.length);
      // The second copy of the phrases lies there, too; the index comes four seconds behind the last change.
      before = filesOnDisk();
    }
    const begun = await beingWritten(before);
    await killed(browser);
    const after = filesOnDisk();
    const whole = Math.max(0, ...before.values());
    const left = [...after].filter(([name]) => !before.has(name)).map(([, size]) => size);
    const replaced = [...before.keys()].some((name) => !after.has(name));
    if (begun !== null && !replaced && left.length > 0) within++;
    console.log(
      `  killed at ${begun} bytes of the new file, of which ${left.join(', ') || 'none'} are left;`,
      `the one before (${whole} bytes) ${replaced ? 'was replaced' : 'is there'}`,
    );
    ({ browser, context } = await start());
    running = browser;
    page = await opened(context);
    await asked(page, `kill ${i + 1}, after`);
  }
  if (KILLS > 0) console.log(`${within} of ${KILLS} kills fell inside a write`);
  console.log(faults === 0 ? 'every answer was right' : `${faults} WRONG`);
} finally {
  if (running !== null && running.exitCode === null && running.signalCode === null) {
    await killed(running);
  }
  await served.close();
  rmSync(scratch, { recursive: true, force: true, maxRetries: 5 });
}
process.exit(faults === 0 ? 0 : 1);
