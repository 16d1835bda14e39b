import { mkdirSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { BrowserContext, Page } from 'playwright';
import { newCollection } from '../../src/core/library/collection';
import { newPair } from '../../src/core/library/pair';
import { libraryPieces } from '../../src/io/library/write';
import { readSamples } from '../support/samples';
import { launchBrowser } from './browser';
import { serveFolder } from './serve-folder';

/**
 * An older program and this one in one folder, which a file service carries between them:
 * `npx tsx tests/e2e/older-beside.ts APP-OF-AN-OLDER-COMMIT APP [PICTURES]`. This one writes what the older does not know (a kept pair), takes
 * it out and writes it again, while the older edits, looks at all files, and is at last replaced by this one in its
 * own browser. After each step no file may be gone but those a removal took, and at the end both hold the same. Ends with 1 where something
 * is lost.
 */
const [OLD, NEW, PICTURES = path.join(os.tmpdir(), 'degreewise-older-beside')] =
  process.argv.slice(2);
if (OLD === undefined || NEW === undefined) throw new Error('name two built apps');
mkdirSync(PICTURES, { recursive: true });

type Files = Readonly<Record<string, string>>;

let faults = 0;
function expectThat(right: boolean, what: string): void {
  if (!right) faults++;
  console.log(`${right ? 'right' : 'WRONG'}: ${what}`);
}

const filesOf = (page: Page): Promise<Files> =>
  page.evaluate(async () => {
    const texts: Record<string, string> = {};
    const root = await navigator.storage.getDirectory();
    const read = async (folder: FileSystemDirectoryHandle, before: string): Promise<void> => {
      for await (const [name, handle] of folder.entries()) {
        if (handle.kind === 'directory')
          await read(handle as FileSystemDirectoryHandle, `${before}${name}/`);
        else texts[before + name] = await (await (handle as FileSystemFileHandle).getFile()).text();
      }
    };
    await read(await root.getDirectoryHandle('shared', { create: true }), '');
    return texts;
  });

const arrive = (page: Page, changes: Readonly<Record<string, string | null>>) =>
  page.evaluate(async (all) => {
    const root = await (await navigator.storage.getDirectory()).getDirectoryHandle('shared');
    for (const [whole, text] of Object.entries(all)) {
      const [name, folder] = whole.split('/').reverse() as [string, string | undefined];
      const place =
        folder === undefined ? root : await root.getDirectoryHandle(folder, { create: true });
      if (text === null) {
        await place.removeEntry(name);
        continue;
      }
      const writable = await (await place.getFileHandle(name, { create: true })).createWritable();
      await writable.write(text);
      await writable.close();
    }
  }, changes);

/** What the service has carried to both. */
let carried: Files = {};
/** What one has done to its copy comes to the other. */
async function serve(from: Page, to: Page): Promise<void> {
  const now = await filesOf(from);
  const gone = Object.keys(carried).filter((p) => !(p in now));
  const changed = Object.entries(now).filter(([p, text]) => carried[p] !== text);
  await arrive(to, Object.fromEntries([...gone.map((p) => [p, null]), ...changed]));
  carried = now;
}

const dialogOf = (page: Page) =>
  page.getByRole('dialog', { name: 'A folder in step with the library' });

async function opened(context: BrowserContext, address: string): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(240_000);
  await page.addInitScript(() => {
    window.showDirectoryPicker = async () =>
      (await navigator.storage.getDirectory()).getDirectoryHandle('shared', { create: true });
  });
  await page.goto(`${address}#/`);
  await page
    .getByText(/^\d+ phrases$/u)
    .first()
    .waitFor();
  return page;
}

async function choose(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Keep a folder in step …' }).click();
  await dialogOf(page).getByRole('button', { name: 'Choose a folder …' }).click();
  await dialogOf(page)
    .getByText(/^In step/u)
    .waitFor();
  await dialogOf(page).getByRole('button', { name: 'Close' }).click();
}

/** Reads all files, as once a day. @returns what the page says. */
async function looked(page: Page, picture: string): Promise<string> {
  await page.bringToFront();
  await page.evaluate("localStorage.removeItem('degreewise.folder-read')");
  await page.getByRole('button', { name: 'Folder …' }).click();
  const dialog = dialogOf(page);
  await dialog.getByRole('button', { name: 'Look at it now' }).click();
  await page.waitForTimeout(1_500);
  await dialog.getByText(/^In step/u).waitFor();
  await page.screenshot({ path: path.join(PICTURES, `${picture}.png`) });
  const says = ((await dialog.textContent()) ?? '').replaceAll(/\s+/gu, ' ');
  await dialog.getByRole('button', { name: 'Close' }).click();
  return says;
}

async function bringIn(page: Page, name: string, text: string): Promise<string> {
  const file = path.join(PICTURES, name);
  writeFileSync(file, text);
  const choosing = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Bring phrases in …' }).click();
  await (await choosing).setFiles(file);
  const report = page.locator('.import');
  await report.waitFor();
  await page.waitForTimeout(3_500);
  const says = ((await report.textContent()) ?? '').replaceAll(/\s+/gu, ' ');
  return says;
}

const has = async (page: Page, folder: string) =>
  Object.keys(await filesOf(page)).filter((p) => p.startsWith(folder));

const [a, b] = readSamples().map((s) => s.phrase.id) as [string, string];
const birth = { now: new Date().toISOString(), title: 'Both wanted' };
const pair = newPair([a, b], birth);
const week = newCollection([a, b], { ...birth, id: 'week', title: 'Week' });
const [oldServed, newServed] = [await serveFolder(OLD, 4_741), await serveFolder(NEW)];
let served = oldServed;
const browser = await launchBrowser();
try {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  // What runs this file gives inner functions their names by a function that a page does not have.
  await context.addInitScript('globalThis.__name = (f) => f');
  // The older would go on from its own cache where this one is served.
  await context.addInitScript('delete Navigator.prototype.serviceWorker');
  const now = await opened(context, newServed.address);
  let old = await opened(context, oldServed.address);
  await now.bringToFront();
  await choose(now);
  await old.bringToFront();
  await arriveAll(now, old);
  await choose(old);
  await serve(old, now);

  await now.bringToFront();
  await bringIn(now, 'pair.json', [...libraryPieces([], [pair, week])].join(''));
  const said = await looked(now, '1-now');
  const [file] = await has(now, 'kept-pairs/');
  expectThat(file !== undefined, `the pair lies in a file of its own: ${file}; ${said}`);
  await serve(now, old);
  console.log(`the older says: ${await looked(old, '2-old')}`);
  expectThat((await has(old, 'kept-pairs/')).length === 1, 'the older leaves it where it is');

  // What the older edits goes on.
  await old
    .getByRole('checkbox', { name: /^Choose / })
    .first()
    .check();
  await old.getByRole('button', { name: 'Put in order …' }).click();
  await old.getByLabel('Add tags').fill('from the older');
  await old.getByRole('button', { name: 'Do it' }).click();
  await old.getByText('1 phrase changed').first().waitFor();
  await old.waitForTimeout(4_000);
  await looked(old, '3-old');
  await serve(old, now);
  await looked(now, '4-now');
  const here = await filesOf(now);
  expectThat(
    Object.values(here).some((t) => t.includes('"from the older"')),
    'what the older edits comes to this one',
  );
  expectThat((await has(now, 'kept-pairs/')).length === 1, 'and the pair stays here');
  const [phrases, samples] = [(await has(now, 'phrases/')).length, readSamples().length];
  expectThat(phrases === samples, `and is no second copy: ${phrases} phrases of ${samples}`);

  // An unknown file beside the others, and one of a removal.
  const text = (await filesOf(now))[file!]!;
  const gone = text
    .replace(/"is": "[0-9a-f]+"/u, '"is": null')
    .replace(/"thing": .*\n/u, '"thing": null\n');
  await arrive(old, { 'pair-put-here.json': text, 'removed/pair.0badc0de.gone': gone });
  console.log(`the older, with such files elsewhere, says: ${await looked(old, '5-old')}`);
  const there = await filesOf(old);
  expectThat(
    there['pair-put-here.json'] === text && there['removed/pair.0badc0de.gone'] === gone,
    'files of a kind that the older does not know stay as they are, wherever they lie',
  );
  await arrive(old, { 'pair-put-here.json': null, 'removed/pair.0badc0de.gone': null });

  // A backup with one: said in words, nothing of it comes in.
  const refused = await bringIn(old, 'backup.json', [...libraryPieces([], [pair])].join(''));
  console.log(`the older, given a backup with a pair, says: ${refused}`);
  await old.screenshot({ path: path.join(PICTURES, '6-old.png') });

  // The older is replaced, in its own browser, and takes in what it left alone.
  await old.close();
  await oldServed.close();
  served = await serveFolder(NEW, 4_741);
  old = await opened(context, served.address);
  await looked(old, '7-replaced');
  const pairs = await pairsIn(old);
  expectThat(pairs === 1, `replaced by this one it has the pair: ${pairs}`);
  await serve(old, now);
  await looked(now, '8-now');
  const [x, y] = [await filesOf(old), await filesOf(now)];
  expectThat(
    JSON.stringify(Object.entries(x).sort()) === JSON.stringify(Object.entries(y).sort()),
    `both folders hold the same ${Object.keys(x).length} files`,
  );
} finally {
  await browser.close();
  await served.close();
  await newServed.close();
}
console.log(faults === 0 ? 'nothing was lost' : `${faults} WRONG`);
process.exit(faults === 0 ? 0 : 1);

/** All of one folder, before the other is chosen. */
async function arriveAll(from: Page, to: Page): Promise<void> {
  await filesOf(to);
  await serve(from, to);
}

/** Pairs in the database of a page, past the app. */
function pairsIn(page: Page): Promise<number> {
  return page.evaluate(
    () =>
      new Promise<number>((resolve, reject) => {
        const asked = indexedDB.open('degreewise');
        asked.onerror = () => reject(asked.error);
        asked.onsuccess = () => {
          const all = asked.result.transaction('records').objectStore('records').getAll();
          all.onsuccess = () => {
            asked.result.close();
            const texts = (all.result as { text?: string }[]).map((r) => r.text ?? '');
            resolve(texts.filter((t) => t.includes('"degreewise-pair"')).length);
          };
        };
      }),
  );
}
