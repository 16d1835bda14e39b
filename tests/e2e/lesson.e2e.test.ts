import { mkdtempSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import type { BrowserContextOptions, Page } from 'playwright';
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
    await page.setViewportSize({ width: 390, height: 844 });
    expect(await marksStandRight(page, '.lesson-view')).toBe(true);
    await page.setViewportSize({ width: 1280, height: 900 });

    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save it as a page that plays' }).click();
    const file = path.join(mkdtempSync(path.join(tmpdir(), 'lesson-')), 'lesson.html');
    await (await saving).saveAs(file);
    const html = readFileSync(file, 'utf8');
    const lesson = lessonIn(html);
    expect(lesson.items.map((i) => i.kind).join(' ')).toBe('phrase phrase text phrase rounds');

    const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
    await openedOffline(file, phone, byTouch);
    await openedOffline(file, { viewport: { width: 1280, height: 800 } }, byKeys);
    await underPolicies(html);
    // All but the music is the same in every lesson.
    expect(html.replaceAll(/<svg.*?<\/svg>/gsu, '').length).toBeLessThan(400_000);

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

/** The file opened from the disk without a network, with all complaints and requests. */
async function openedOffline(
  file: string,
  device: BrowserContextOptions,
  walk: (page: Page) => Promise<void>,
): Promise<void> {
  const browser = await launchBrowser();
  try {
    const context = await browser.newContext({ offline: true, ...device });
    const page = await context.newPage();
    const told: string[] = [];
    page.on('console', (m) => told.push(m.text()));
    page.on('pageerror', (e) => told.push(e.message));
    page.on('request', (r) => told.push(r.url()));
    // The loudest sample that was handed to the loudspeaker since somebody looked.
    await page.addInitScript(() => {
      const start = AudioBufferSourceNode.prototype.start;
      Object.assign(globalThis, { peak: 0 });
      AudioBufferSourceNode.prototype.start = function (...args) {
        for (const v of this.buffer?.getChannelData(0) ?? []) {
          Object.assign(globalThis, {
            peak: Math.max(Reflect.get(globalThis, 'peak'), Math.abs(v)),
          });
        }
        start.apply(this, args);
      };
    });
    const { href } = pathToFileURL(file);
    await page.goto(href);
    expect(await axeViolations(page)).toEqual([]);
    await walk(page);
    // Only the file itself was asked for.
    expect(told).toEqual([href]);
  } finally {
    await browser.close();
  }
}

/** On a phone by fingers: played slowly with a metronome, bars chosen over the lines, an answer opened. */
async function byTouch(page: Page): Promise<void> {
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
  expect(await marksStandRight(page, '.music')).toBe(true);
  expect(await page.locator('#silent').count()).toBe(0);
  await page.getByLabel('Metronome').tap();
  await page.getByLabel('Over and over').tap();
  const speed = (await page.getByLabel('Speed').boundingBox())!;
  const middle = speed.y + speed.height / 2;
  await page.touchscreen.tap(speed.x + speed.width / 4, middle);
  await expect.poll(() => page.locator('#percent').textContent()).toMatch(/^[56]\d %$/u);
  const music = page.locator('.music').first();
  const chosen = () =>
    music.evaluate((m) => [...m.querySelectorAll('select')].map((s) => s.value).join(' to '));
  const line = music.locator('.narrow .line').first();
  await line.scrollIntoViewIfNeeded();
  const places = () =>
    line.evaluate((l) => {
      const { left, top, width, height } = l.getBoundingClientRect();
      const at = (percent: number) => ({ x: left + (width * percent) / 100, y: top + height / 2 });
      const columns = (l.dataset.at ?? '').split(' ').map((word) => Number(word.split(':')[1]));
      const told = (l.dataset.told ?? '').split(' ');
      // In each bar the place that is farthest from any note; and the first two notes.
      const free = (l.dataset.bars ?? '').split(' ').map((bar) => {
        const [, from, to] = bar.split(':').map(Number) as [number, number, number];
        const places = Array.from({ length: 50 }, (_, i) => from + ((to - from) * (i + 0.5)) / 50);
        const away = (x: number) => Math.min(...columns.map((c) => Math.abs(c - x)));
        return at(places.reduce((a, b) => (away(b) > away(a) ? b : a)));
      });
      const notes = columns.flatMap((c, i) => (told[i] === '.' ? [] : [at(c)]));
      return [...free.slice(0, 2), ...notes.slice(0, 2)];
    });
  const [one, two, note, after] = await places();
  const { tap } = page.touchscreen;
  // A note that is tapped is heard and named, and no bar is chosen.
  await tap.call(page.touchscreen, note!.x, note!.y);
  await expect.poll(() => page.locator('.struck').textContent()).toBe('♭3');
  await expect.poll(() => heardOf(page)).toBeGreaterThan(0.01);
  await tap.call(page.touchscreen, after!.x + 6, after!.y);
  await expect.poll(() => page.locator('.struck').textContent()).toBe('3');
  expect(await page.locator('.struck').count()).toBe(1);
  await page.getByText('bar 1, beat 2: 3; string 3, fret 6.').waitFor({ state: 'attached' });
  expect(await chosen()).toBe('1 to 2');
  await tap.call(page.touchscreen, one!.x, one!.y);
  await expect.poll(chosen).toBe('1 to 1');
  await drawn(page, two!, one!);
  await expect.poll(chosen).toBe('1 to 2');
  await tap.call(page.touchscreen, two!.x, two!.y);
  await expect.poll(chosen).toBe('2 to 2');
  await page.getByRole('button', { name: 'Play First Ferry Out' }).first().tap();
  const mark = () => page.locator('.now').getAttribute('style');
  await page.locator('.now').waitFor();
  const first = await mark();
  await expect.poll(mark).not.toBe(first);
  // One bar over and over: the mark stays within it.
  expect(await page.locator('.line:has(> .now) > .chosen').count()).toBe(1);
  // To press Play the page may have been pushed.
  const [, still] = await places();
  await tap.call(page.touchscreen, still!.x, still!.y);
  await expect.poll(chosen).toBe('1 to 2');
  await page.getByRole('button', { name: 'Stop First Ferry Out' }).first().tap();
  await expect.poll(() => page.locator('.now').count()).toBe(0);
}

/** How loud what was played since this was asked last is, of 1. */
function heardOf(page: Page): Promise<number> {
  return page.evaluate(() => {
    const peak = Reflect.get(globalThis, 'peak') as number;
    Object.assign(globalThis, { peak: 0 });
    return peak;
  });
}

/** A finger is put down, drawn along and lifted. */
async function drawn(page: Page, ...places: { x: number; y: number }[]): Promise<void> {
  const client = await page.context().newCDPSession(page);
  const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', touchPoints: typeof places) =>
    client.send('Input.dispatchTouchEvent', { type, touchPoints });
  const [start, end] = [places[0]!, places.at(-1)!];
  await send('touchStart', [start]);
  // Sideways first, so that it is no push of the page.
  await send('touchMove', [{ x: start.x + 15 * Math.sign(end.x - start.x), y: start.y }]);
  for (const place of places.slice(1)) await send('touchMove', [place]);
  await send('touchEnd', []);
}

/** On a laptop by keys alone. */
async function byKeys(page: Page): Promise<void> {
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await page.locator('.now').waitFor();
  const pressed = page.locator('button[aria-pressed="true"]');
  expect(await pressed.textContent()).toBe('Stop First Ferry Out');
  await page.keyboard.press('Escape');
  await expect.poll(() => pressed.count()).toBe(0);
  await page.keyboard.press('Tab');
  await page.keyboard.press('ArrowDown');
  await expect.poll(() => page.locator('.wide .chosen').count()).toBe(1);
  // Note by note within the bar that is chosen.
  await heardOf(page);
  const next = page.getByRole('button', { name: 'Next note in First Ferry Out' }).first();
  await next.focus();
  const names: (string | null)[] = [];
  for (let i = 0; i < 2; i++) {
    await page.keyboard.press('Enter');
    names.push(await page.locator('.struck').textContent());
    await expect.poll(() => heardOf(page)).toBeGreaterThan(0.01);
  }
  await page.getByRole('button', { name: 'Note before in First Ferry Out' }).first().focus();
  await page.keyboard.press('Enter');
  names.push(await page.locator('.struck').textContent());
  expect(new Set(names).size).toBe(2);
  expect(names[2]).toBe(names[0]);
  expect(await axeViolations(page)).toEqual([]);
  await page.keyboard.press('Escape');
  expect(await page.locator('.struck').count()).toBe(0);
  await page.getByLabel('Speed').focus();
  await page.keyboard.press('ArrowLeft');
  expect(await page.locator('#percent').textContent()).toBe('95 %');
}

/** Whether lines are as wide as what is drawn in them, of which the marks in them are shares. */
function marksStandRight(page: Page, within: string): Promise<boolean> {
  return page.evaluate((selector) => {
    const lines = [...document.querySelectorAll<HTMLElement>(`${selector} .line`)].filter((l) =>
      l.checkVisibility(),
    );
    const width = (e: Element) => e.getBoundingClientRect().width;
    return (
      lines.length > 0 && lines.every((l) => Math.abs(width(l) - width(l.firstElementChild!)) < 1)
    );
  }, within);
}

/** What an intranet or a mail program may allow: the page's own policy in a sandbox; and nothing at all. */
async function underPolicies(html: string): Promise<void> {
  const own = /Content-Security-Policy" content="([^"]*)"/u.exec(html)![1]!;
  expect(own).toMatch(/^default-src 'none'; script-src 'sha256-[^']+'; style-src 'sha256-[^']+';/u);
  let policy = '';
  const server = createServer((_, answer) => {
    answer.writeHead(200, { 'Content-Type': 'text/html', 'Content-Security-Policy': policy });
    answer.end(html);
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage();
    const { port } = server.address() as AddressInfo;
    const play = page.getByRole('button', { name: 'Play First Ferry Out' }).first();
    policy = `${own}; sandbox allow-scripts`;
    await page.goto(`http://127.0.0.1:${port}/`);
    await play.click();
    await page.locator('.now').waitFor();
    policy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:";
    await page.reload();
    await page.getByText('Nothing can be played where this is shown.').waitFor();
    await page.locator('.wide svg').first().waitFor();
  } finally {
    await browser.close();
    server.close();
  }
}
