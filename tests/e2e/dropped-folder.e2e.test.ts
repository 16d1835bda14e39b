import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright';
import { afterAll, expect, it } from 'vitest';
import { FIRST_PLAIN } from '../../src/ui/library/import/summary';
import { visits } from './visits';

const { at } = visits();
const root = mkdtempSync(path.join(tmpdir(), 'dropped-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** Drops real files and folders of the disk onto the page, as a hand does. */
async function drop(page: Page, ...files: readonly string[]): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const data = { items: [], files: [...files], dragOperationsMask: 1 };
  for (const type of ['dragEnter', 'dragOver', 'drop'] as const) {
    await session.send('Input.dispatchDragEvent', { type, x: 200, y: 200, data });
  }
  await session.detach();
}

/** So many phrases in quick text in a folder and the folders in it, with what is none among them. */
function folderOf(name: string, count: number): string {
  const folder = path.join(root, name);
  mkdirSync(path.join(folder, 'week 2', '.kept away'), { recursive: true });
  for (let i = 0; i < count; i++) {
    const place = path.join(folder, i % 2 === 0 ? '' : 'week 2');
    writeFileSync(path.join(place, `${name} ${i}.quick`), `{A7} e 3:5 7 2:${(i % 9) + 1} q 5~`);
  }
  writeFileSync(path.join(folder, 'broken.json'), '{"format":"degreewise-phrase"');
  writeFileSync(path.join(folder, 'cover.png'), 'no music');
  writeFileSync(path.join(folder, '.hidden.quick'), 'e 3:5');
  writeFileSync(path.join(folder, 'week 2', '.kept away', 'x.quick'), 'e 3:5');
  return folder;
}

it('takes a folder of hundreds of files, says of each what became of it, and stops in the middle', async () => {
  const page = await at('');
  await page.getByText('33 phrases', { exact: true }).waitFor();
  // Stopped while they are read, nothing has come in.
  await drop(page, folderOf('long', 800));
  await page.getByRole('progressbar', { name: 'Files read' }).waitFor();
  const gap = await page.locator('.import').evaluate((e) => {
    const [bar, stop] = ['progress', 'button'].map((s) =>
      e.querySelector(s)!.getBoundingClientRect(),
    );
    return stop!.left - bar!.right;
  });
  expect(gap).toBeGreaterThanOrEqual(8);
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect.poll(() => page.locator('.import').count()).toBe(0);
  await page.getByText('33 phrases', { exact: true }).waitFor();

  await drop(page, folderOf('short', 150), path.join(root, 'short', 'cover.png'));
  await page
    .getByRole('heading', { name: '150 phrases came into the library; 2 files did not.' })
    .waitFor({ timeout: 60_000 });
  const report = page.locator('.import-files > li');
  // What did not come in comes first: the one that is broken, and the one dropped by itself.
  expect(await report.nth(0).textContent()).toContain('broken.json');
  expect(await report.nth(1).textContent()).toContain('cover.png');
  expect(await report.count()).toBe(FIRST_PLAIN);
  await page.getByText('183 phrases', { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Take them out again' }).click();
  await page.getByText('33 phrases', { exact: true }).waitFor();
}, 120_000);
