import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import type { Lesson } from '../../src/core/lesson/types';
import { axeViolations, expectAccessible, launchBrowser } from './browser';
import { visits } from './visits';

const { at } = visits();

/** What a lesson page has inside. */
function lessonIn(html: string): Lesson {
  const data = /id="degreewise-lesson">([^<]*)<\/script>/u.exec(html)?.[1] ?? '';
  return JSON.parse(data) as Lesson;
}

describe('a lesson', () => {
  it('is made of three phrases, written in, put in order, saved, played offline and brought back', async () => {
    const page = await at('');
    for (const title of ['First Ferry Out', 'Third Rung', 'Twelve at the Salt Loft']) {
      await page.getByRole('checkbox', { name: title }).first().check();
    }
    await page.getByRole('button', { name: 'Make a lesson' }).click();
    await page.getByLabel('Title of the lesson').fill('Thirds on the quay');
    await page.getByRole('heading', { level: 1, name: 'Thirds on the quay' }).waitFor();

    await page.getByRole('button', { name: 'Add it' }).click();
    await page.getByLabel('Text', { exact: true }).fill('Sing it first.\n\nThen <play> it.');
    await page
      .getByRole('combobox', { name: /^What/u })
      .selectOption('exercise: through I, IV and V');
    await page.getByRole('button', { name: 'Add it' }).click();
    await page.getByText('over V7 in').first().waitFor();
    await page.getByRole('button', { name: 'Up: the text' }).click();
    await page.locator('.lesson-view', { hasText: 'Then <play> it.' }).waitFor();
    await expectAccessible(page);

    const exercise = page.getByRole('region', { name: /^5: Exercise/u });
    await page.getByRole('button', { name: /^Take out: Exercise/u }).click();
    await expect.poll(() => exercise.count()).toBe(0);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await exercise.waitFor();
    await page.getByText('Saved.').waitFor();
    await page.reload();
    await exercise.waitFor();

    await putBackAndUndone(page);
    await countedAsPrinted(page);

    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save it as a page that plays' }).click();
    const file = path.join(mkdtempSync(path.join(tmpdir(), 'lesson-')), 'lesson.html');
    await (await saving).saveAs(file);
    const html = readFileSync(file, 'utf8');
    const lesson = lessonIn(html);
    expect(lesson.items.map((i) => i.kind).join(' ')).toBe('phrase phrase text phrase rounds');

    await playedOffline(file);

    const other = await at('');
    const choosing = other.waitForEvent('filechooser');
    await other.getByRole('button', { name: 'Bring phrases in' }).click();
    await (await choosing).setFiles(file);
    await other
      .getByText(/1 lesson/u)
      .first()
      .waitFor();
    // The report leads to it.
    await other.getByRole('link', { name: 'Thirds on the quay' }).click();
    const again = other.waitForEvent('download');
    await other.getByRole('button', { name: 'Save it as a page that plays' }).click();
    const back = await (await again).path();
    expect(lessonIn(readFileSync(back, 'utf8'))).toEqual(lesson);
  });
});

/** How the lesson stood before is told in words, put back, and undone. */
async function putBackAndUndone(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Earlier versions of this lesson' }).click();
  await page
    .getByRole('button', { name: /^See it/u })
    .last()
    .click();
  await page.getByRole('heading', { name: 'What it held' }).waitFor();
  await expectAccessible(page);
  await page
    .getByRole('button', { name: /^Put back/u })
    .last()
    .click();
  await page.getByText('before an earlier version was put back').waitFor();
  await page.getByRole('button', { name: 'Undo' }).last().click();
  await page.getByText('is as it was before.').waitFor();
  await page.getByRole('link', { name: 'Thirds on the quay' }).click();
  await page.getByRole('region', { name: /^5: Exercise/u }).waitFor();
}

/** As many pages are told as the browser prints, and a smaller size makes fewer. */
async function countedAsPrinted(page: Page): Promise<void> {
  const onPaper = page.getByRole('group', { name: 'On paper' });
  const made: number[] = [];
  for (const size of ['large', 'small']) {
    await onPaper.getByLabel('Paper').selectOption('Letter');
    await onPaper.getByLabel('Size').selectOption(size);
    await onPaper.getByText(/^\d+ pages?\.$/u).waitFor();
    const text = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    // PDF 1.7 (ISO 32000-1) 7.7.3: each page is an object of that type.
    const pages = text.match(/\/Type\s*\/Page\b/gu)?.length ?? 0;
    expect(await onPaper.getByRole('status').textContent(), size).toBe(`${pages} pages.`);
    made.push(pages);
  }
  expect(made[1]).toBeLessThan(made[0]!);
}

/** Opens the file from the disk on a phone without a network, plays it, and hears no complaint. */
async function playedOffline(file: string): Promise<void> {
  const browser = await launchBrowser();
  try {
    const viewport = { width: 390, height: 844 };
    const context = await browser.newContext({ offline: true, viewport });
    const page = await context.newPage();
    const complaints: string[] = [];
    page.on('console', (m) => complaints.push(m.text()));
    page.on('pageerror', (e) => complaints.push(e.message));
    page.on('request', (r) => complaints.push(r.url()));
    const { href } = pathToFileURL(file);
    await page.goto(href);
    expect(await axeViolations(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    await page.getByLabel('Metronome').check();
    await page.getByLabel('Over and over').check();
    // One bar over and over: the mark stays within it.
    const music = page.locator('.music').first();
    await music.getByLabel('First bar of First Ferry Out').selectOption('2');
    await page.getByRole('button', { name: 'Play First Ferry Out' }).first().click();
    const mark = () => page.locator('.now').getAttribute('style');
    await page.locator('.now').waitFor();
    const first = await mark();
    await expect.poll(mark).not.toBe(first);
    expect(await page.locator('.line:has(> .now) > .chosen').count()).toBe(1);
    await draggedOver(page);
    await page.getByRole('button', { name: 'Stop First Ferry Out' }).first().click();
    await expect.poll(() => page.locator('.now').count()).toBe(0);
    // Only the file itself was asked for.
    expect(complaints).toEqual([href]);
  } finally {
    await browser.close();
  }
}

/** Bars that are dragged over are chosen, and one that is pressed twice chooses all again. */
async function draggedOver(page: Page): Promise<void> {
  const chosen = () =>
    page.evaluate(() =>
      [...document.querySelectorAll<HTMLSelectElement>('.music select')]
        .slice(0, 2)
        .map((s) => s.value),
    );
  const bars = await page.evaluate(() => {
    const line = document.querySelector<HTMLElement>('.music .narrow .line')!;
    line.scrollIntoView({ block: 'center' });
    const { left, top, width, height } = line.getBoundingClientRect();
    return (line.dataset.bars ?? '').split(' ').map((bar) => {
      const [, from, to] = bar.split(':').map(Number) as [number, number, number];
      return { x: left + (width * (from + to)) / 200, y: top + height / 2 };
    });
  });
  const [one] = bars;
  await page.mouse.click(one!.x, one!.y);
  await expect.poll(chosen).toEqual(['1', '1']);
  await page.mouse.click(one!.x, one!.y);
  await expect.poll(chosen).toEqual(['1', '2']);
}
