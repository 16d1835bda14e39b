import type { Page } from 'playwright';
import { expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { carry } from '../../src/io/folder/carry';
import { FileLibrary } from '../../src/io/folder/file-library';
import { noNotes } from '../../src/io/folder/notes';
import '../../src/io/kinds/checks-at-hand';
import { PHRASES } from '../../src/io/kinds/kinds';
import { MemoryFolder } from '../support/memory-folder';
import { expectAccessible } from './browser';
import { visits } from './visits';

const { at } = visits();

/** The private file system stands in for a folder of the person, which no test can choose. */
const giveFolder = (page: Page) =>
  page.evaluate(() => {
    window.showDirectoryPicker = async () =>
      (await navigator.storage.getDirectory()).getDirectoryHandle('shared', { create: true });
  });

/** All files of the folder. */
const filesOf = (page: Page): Promise<Record<string, string>> =>
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
    await read(await root.getDirectoryHandle('shared'), '');
    return texts;
  });

/** What another device writes into the folder; null removes. */
const arrive = (page: Page, changes: Record<string, string | null>) =>
  page.evaluate(async (all) => {
    const root = await (await navigator.storage.getDirectory()).getDirectoryHandle('shared');
    for (const [path, text] of Object.entries(all)) {
      const [name, folder] = path.split('/').reverse() as [string, string | undefined];
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

/** Another teacher, with a library and a copy of the folder of their own. */
class Colleague {
  private readonly library = new FileLibrary([]);
  private readonly folder = new MemoryFolder();
  private readonly notes = noNotes();
  private written: Record<string, string | null> = {};

  constructor() {
    this.folder.onWrite = (path, text) => {
      this.written[path] = text;
    };
  }

  /** Takes the folder as it is; what it wrote into its copy. */
  async inStep(files: Record<string, string> = {}): Promise<Record<string, string | null>> {
    for (const [path, text] of Object.entries(files)) this.folder.set(path, text);
    this.written = {};
    await carry(this.library, this.folder, this.notes, { now: new Date().toISOString() });
    return this.written;
  }

  titles(): readonly string[] {
    return this.phrases().map((p) => p.meta.title);
  }

  rename(title: string, to: string): void {
    const found = this.phrases().find((p) => p.meta.title === title)!;
    const meta = { ...found.meta, title: to, modified: new Date().toISOString() };
    this.library.put({ kind: PHRASES, value: { ...found, meta } });
  }

  private phrases(): readonly Phrase[] {
    // Nothing but phrases of the samples is here.
    return this.library.all().map((t) => t.value as Phrase);
  }
}

it('carries the library in a folder: what is saved is written, what arrives is read, both are kept', async () => {
  const page = await at('');
  await giveFolder(page);
  await page.getByRole('button', { name: 'Keep a folder in step …' }).click();
  const dialog = page.getByRole('dialog', { name: 'A folder in step with the library' });
  await dialog.getByRole('button', { name: 'Choose a folder …' }).click();
  await dialog.getByText(/^In step with the folder “shared” since \d\d:\d\d\.$/u).waitFor();
  await expectAccessible(page);
  await dialog.getByRole('button', { name: 'Close' }).click();
  const colleague = new Colleague();
  expect(await colleague.inStep(await filesOf(page))).toEqual({});
  expect(colleague.titles()).toHaveLength(33);

  const tag = async (title: string, name: string) => {
    await page.getByRole('checkbox', { name: title }).first().check();
    await page.getByRole('button', { name: 'Put in order …' }).click();
    await page.getByLabel('Add tags').fill(name);
    await page.getByRole('button', { name: 'Do it' }).click();
    // What is chosen stays chosen, and what is said stays for a while: the next one is chosen and told alone.
    const told = page.locator('.notice', { hasText: '1 phrase changed' });
    await told.getByRole('button', { name: 'Close' }).click();
    await told.waitFor({ state: 'detached' });
    await page.getByRole('checkbox', { name: title }).first().uncheck();
  };
  await tag('First Ferry Out', 'by the river');
  const tagged = async () =>
    Object.entries(await filesOf(page)).filter(([, text]) => text.includes('by the river'));
  await expect.poll(tagged, { timeout: 10_000 }).toHaveLength(1);
  expect((await tagged())[0]![0]).toMatch(/^phrases\/first-ferry-out\.[0-9a-f]{8}\.json$/u);

  // A colleague renames one, half of another file arrives, and a file of somebody else lies there.
  const before = await colleague.inStep(await filesOf(page));
  expect(before).toEqual({});
  colleague.rename('Third Rung', 'Third Rung, lower');
  await arrive(page, {
    ...(await colleague.inStep()),
    'shopping.json': '{"milk":2}',
    'phrases/half.0123abcd.json': '{"format":"degreewise-carried","ver',
  });
  const look = async () => {
    await page.getByRole('button', { name: 'Folder …' }).click();
    await dialog.getByRole('button', { name: 'Look at it now' }).click();
  };
  await look();
  await dialog.getByText(/1 file could not be read and is tried again/u).waitFor();
  await dialog.getByText(/^phrases\/half/u).waitFor();
  await dialog.getByRole('button', { name: 'Close' }).click();
  await page.getByRole('link', { name: 'Third Rung, lower' }).first().waitFor();
  await arrive(page, { 'phrases/half.0123abcd.json': null });

  // The same phrase on both sides at once.
  await colleague.inStep(await filesOf(page));
  colleague.rename('Tin Roof Walk', 'Tin Roof Walk, slower');
  const theirs = await colleague.inStep();
  await tag('Tin Roof Walk', 'mine');
  await arrive(page, theirs);
  await look();
  await page.getByText(/was changed here and in the folder: both are kept/u).waitFor();
  await dialog.getByRole('button', { name: 'Close' }).click();
  await page.getByText('34 phrases').first().waitFor();
  await page.getByRole('button', { name: 'Look at both' }).click();
  await page.getByRole('heading', { level: 1 }).waitFor();
  expect(page.url()).toContain('.v-');
  await colleague.inStep(await filesOf(page));
  expect(colleague.titles().filter((t) => t.startsWith('Tin Roof Walk'))).toHaveLength(2);

  // Another visit: the folder is known, and stopping leaves what is in it.
  await page.goto(page.url().replace(/#.*$/u, '#/'));
  await page.reload();
  await page.getByText(/^In step with the folder “shared”/u).waitFor();
  await page.getByRole('button', { name: 'Folder …' }).click();
  await dialog.getByRole('button', { name: 'Stop keeping it in step' }).click();
  await dialog.getByRole('button', { name: 'Choose a folder …' }).waitFor();
  const left = await filesOf(page);
  expect(Object.keys(left).filter((p) => p.startsWith('phrases/'))).toHaveLength(34);
  expect(left['shopping.json']).toBe('{"milk":2}');
});
