import type { ChildProcess } from 'node:child_process';
import { rmSync } from 'node:fs';
import type { BrowserContext, Page } from 'playwright';
import { fillOld } from './fill-old';
import {
  fault,
  faultsSoFar,
  killed,
  opened,
  pause,
  SIZE,
  samples,
  scratch,
  serveApp,
  start,
  tag,
} from './index-library';

/**
 * What becomes of a folder in step, and of the library, where something goes wrong:
 * `npx tsx tests/e2e/folder-trouble.ts 1000 [BUILT APP]`. The folder has no room in the midst of the first time in step; the
 * browser is killed in the midst of another; the folder is gone while the page is open, and is there again, empty;
 * two windows and another device write at once. After each the page is to say how it stands, and every phrase of the
 * library lies in just one file that can be read. The folder is of the private file system, and where there is no
 * room it is this script that refuses. Ends with 1 where something is wrong.
 */
const served = await serveApp(process.argv[3], 4_736);

/** The folder that is chosen, and how many files of it can still be written. */
const RIGGED = `
  window.folderName = 'shared';
  window.room = Infinity;
  window.written = 0;
  window.showDirectoryPicker = async () =>
    (await navigator.storage.getDirectory()).getDirectoryHandle(window.folderName, { create: true });
  const createWritable = FileSystemFileHandle.prototype.createWritable;
  FileSystemFileHandle.prototype.createWritable = async function (...all) {
    const stream = await createWritable.apply(this, all);
    // The second copy of the library is written as well; only files of things have such names.
    if (!/\\.[0-9a-f]{8}(-\\d+)?\\.json$/u.test(this.name)) return stream;
    if (window.room-- <= 0) {
      stream.write = async () => { throw new DOMException('no room', 'QuotaExceededError'); };
    } else window.written += 1;
    return stream;
  };
`;

/** Of each phrase the files that hold it, and files that hold none. */
const FILES = `(async () => {
  const root = await (await navigator.storage.getDirectory()).getDirectoryHandle(window.folderName);
  const byId = {};
  const broken = [];
  const tags = [];
  for await (const [name, handle] of (await root.getDirectoryHandle('phrases')).entries()) {
    // What a killed browser leaves of a file; it goes after an hour.
    if (name.endsWith('.crswap')) continue;
    try {
      const text = await (await handle.getFile()).text();
      const all = JSON.parse(text);
      const id = /"id":"(large-\\d+|old-\\d+|[^"]+)"/u.exec(text)[1];
      (byId[id] ??= []).push(name);
      if (/"([a-z])\\1{8}\\d+"/u.test(text)) tags.push(/"(([a-z])\\2{8}\\d+)"/u.exec(text)[1]);
    } catch (e) { broken.push(name); }
  }
  return { phrases: Object.keys(byId).length, twice: Object.values(byId).filter((f) => f.length > 1).length, broken, tags };
})()`;

interface Files {
  readonly phrases: number;
  readonly twice: number;
  readonly broken: readonly string[];
  readonly tags: readonly string[];
}

async function said(page: Page, text: string, within = 240_000): Promise<void> {
  const end = performance.now() + within;
  const seen = `document.body.textContent.includes(${JSON.stringify(text)})`;
  while (!(await page.evaluate(seen))) {
    if (performance.now() > end) {
      const line = await page.locator('dialog[open] [role=status]').allTextContents();
      fault(`the page does not say '${text}', but '${line.join(' ')}'`);
      return;
    }
    await page.waitForTimeout(100);
  }
  console.log(`  it says '${text}'`);
}

async function right(page: Page, after: string, tags = 0, more = 0): Promise<void> {
  const files = (await page.evaluate(FILES)) as Files;
  console.log(`${after}: ${JSON.stringify(files)}`);
  if (files.phrases !== SIZE + more)
    fault(`after ${after}: ${files.phrases} phrases lie in the folder`);
  if (files.twice > 0 || files.broken.length > 0) fault(`after ${after}: twice, or broken`);
  if (files.tags.length !== tags) fault(`after ${after}: ${tags} tags should be there`);
  const count = `${SIZE + more} phrases`;
  if (!(await page.evaluate(`document.body.textContent.includes(${JSON.stringify(count)})`)))
    fault(`after ${after}: the library has not ${count}`);
}

/** In step, and nothing is left to be tried again. */
async function inStep(page: Page, name: string): Promise<void> {
  await said(page, `In step with the folder “${name}”`);
  const end = performance.now() + 60_000;
  const left = `document.body.textContent.includes('tried again')`;
  while ((await page.evaluate(left)) && performance.now() < end) await page.waitForTimeout(100);
}

const dialog = (page: Page) => page.getByRole('dialog', { name: 'A folder in step' });

async function open(page: Page): Promise<void> {
  await page.getByRole('button', { name: /^(Keep a folder in step|Folder) …$/u }).click();
}

async function choose(page: Page, name: string): Promise<void> {
  await open(page);
  await page.evaluate(`window.folderName = ${JSON.stringify(name)}`);
  await dialog(page)
    .getByRole('button', { name: /^Choose (a|another) folder …$/u })
    .click();
}

async function look(page: Page): Promise<void> {
  await dialog(page).getByRole('button', { name: 'Look at it now' }).click();
}

const closed = (page: Page) => dialog(page).getByRole('button', { name: 'Close' }).click();

let { browser, context }: { browser: ChildProcess; context: BrowserContext } = await start();
try {
  const filling = await context.newPage();
  await fillOld(filling, served.address, samples, SIZE);
  await filling.close();
  await context.addInitScript(RIGGED);
  let page = await opened(context, served.address);

  await page.evaluate(`window.room = ${Math.floor(SIZE / 3)}`);
  await choose(page, 'full');
  await said(page, 'is not in step: there is no room for more files. It is tried again.');
  await page.evaluate('window.room = Infinity');
  await look(page);
  await inStep(page, 'full');
  await right(page, 'no room in the folder, and room again');
  await closed(page);

  await choose(page, 'killed');
  while (((await page.evaluate('window.written')) as number) < SIZE * 1.4) await pause(20);
  await killed(browser);
  ({ browser, context } = await start());
  await context.addInitScript(RIGGED);
  page = await opened(context, served.address);
  await page.evaluate("window.folderName = 'killed'");
  await inStep(page, 'killed');
  const again = (await page.evaluate('window.written')) as number;
  console.log(`  ${again} files were written after the kill`);
  await right(page, 'killed in the midst of writing');

  await page.evaluate(`(async () =>
    (await navigator.storage.getDirectory()).removeEntry('killed', { recursive: true }))()`);
  await tag(page, 3);
  await open(page);
  await said(page, 'is not in step: the folder is not where it was. It is tried again.');
  await page.evaluate(`(async () =>
    (await navigator.storage.getDirectory()).getDirectoryHandle('killed', { create: true }))()`);
  await look(page);
  await inStep(page, 'killed');
  await right(page, 'the folder was gone, and is there again, empty', 1);
  await closed(page);

  const other = await opened(context, served.address);
  await other.evaluate("window.folderName = 'killed'");
  await tag(page, 5);
  // Both get the same tag.
  await Promise.all([tag(page, 7), tag(other, 8)]);
  await page.evaluate(`(async () => {
    const root = await (await navigator.storage.getDirectory()).getDirectoryHandle('killed');
    const phrases = await root.getDirectoryHandle('phrases');
    const names = [];
    for await (const name of phrases.keys()) names.push(name);
    const name = names.find((n) => /-20\\.[0-9a-f]{8}\\.json$/u.test(n)) ?? names[20];
    const handle = await phrases.getFileHandle(name);
    const text = await (await handle.getFile()).text();
    const out = await handle.createWritable();
    await out.write(text.replace(/"tags":\\[/u, (t) => t + '"zzzzzzzzz99"' + (text.includes('"tags":[]') ? '' : ',')));
    await out.close();
  })()`);
  for (const one of [page, other]) {
    await one.bringToFront();
    await open(one);
    await look(one);
    await pause(4_000);
    await inStep(one, 'killed');
    await closed(one);
  }
  await right(page, 'two windows and another device at once', 5);
  for (const one of [page, other]) {
    await one.getByRole('combobox', { name: 'Find' }).fill('tag:"zzzzzzzzz99"');
    await said(one, `1 of ${SIZE} phrases`);
  }
} finally {
  await killed(browser).catch(() => undefined);
  await served.close();
  rmSync(scratch, { recursive: true, force: true });
}
console.log(faultsSoFar() === 0 ? 'all right' : `${faultsSoFar()} WRONG`);
process.exit(faultsSoFar() === 0 ? 0 : 1);
