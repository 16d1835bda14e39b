import type { Page } from 'playwright';
import { describe, expect, inject, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { musicOf, PLAIN_LINES, TYPED_PHRASES } from '../support/typed-phrases';
import { expectAccessible } from './browser';
import { storedPhrase } from './stored';
import { beginWriting, visits } from './visits';

const address = inject('appAddress');

const app = visits();
const { library, emptyBar: emptyPage } = app;

/** Milliseconds between two keys. */
const AS_FAST_AS_A_PLAYER = 120;

const TAB = [
  'e|-----------------|',
  'B|---------5---8---|',
  'G|-5---7-----------|',
  'D|-----------------|',
  'A|-----------------|',
  'E|-----------------|',
].join('\n');

const find = (page: Page) => page.getByRole('combobox', { name: 'Say what you want to do' });

async function press(page: Page, ...keys: readonly string[]): Promise<void> {
  for (const key of keys) await page.keyboard.press(key === ' ' ? 'Space' : key);
}

/** The same, once the page says that it is saved. */
async function stored(page: Page): Promise<Phrase> {
  await page.getByText('Saved.', { exact: true }).waitFor();
  return storedPhrase(page);
}

const frets = (p: Phrase) =>
  p.voices[0].events.map((e) => e.notes.map((n) => `${n.string}/${n.fret}`).join('+')).join(' ');

describe('writing by keyboard alone, from an empty page', () => {
  it('gives exactly the phrases meant, in few keys', async () => {
    const page = await library();
    const counts: string[] = [];
    for (const [i, typed] of [...TYPED_PHRASES, ...PLAIN_LINES].entries()) {
      await beginWriting(page);
      await press(page, ...typed.keys);
      expect(musicOf(await stored(page)), typed.name).toEqual(musicOf(typed.expected));
      const each = typed.keys.length / typed.notes;
      counts.push(`${typed.name}: ${typed.keys.length} keys, ${each.toFixed(2)} a note`);
      expect(each, typed.name).toBeLessThanOrEqual(typed.plain ? 2 : 3);
      await page.evaluate(() => {
        window.location.hash = '#/';
      });
      await page.getByText(`${34 + i} phrases`, { exact: true }).waitFor();
    }
    console.info(counts.join('\n'));
  });
});

describe('the list of what can be done', () => {
  it('gets what is typed while it is still on its way, and the score gets none of it', async () => {
    const page = await app.blank();
    await page.route('**/action-dialog*.js', async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 700));
      await route.continue();
    });
    await page.goto(address);
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Write a new phrase' }).click();
    await page.locator('.write-score svg').first().waitFor();
    await page.keyboard.press('Control+.');
    await page.keyboard.type('pickpx', { delay: 20 });
    await press(page, 'Backspace', 'Backspace', 'u', 'p', 'Enter');
    const asked = page.getByRole('dialog', { name: 'Pickup' });
    await asked.waitFor();
    await page.keyboard.press('Escape');
    expect(frets(await storedPhrase(page))).toBe('');
    await page.keyboard.press('Control+.');
    expect(await find(page).inputValue()).toBe('');
    // It unfolds what is further down, and the focus goes there as soon as that has come.
    await page.keyboard.type('quick text');
    await page.keyboard.press('Enter');
    const text = page.getByLabel('The phrase as text');
    await expect.poll(() => text.evaluate((e) => e === document.activeElement)).toBe(true);
    await text.fill('e 3:5 7');
    await page.getByRole('button', { name: 'Put it in the place of this phrase' }).click();
    const score = page.getByRole('application');
    await expect
      .poll(() => score.evaluate((e) => Math.abs(e.getBoundingClientRect().top)))
      .toBeLessThan(2);
    await expect.poll(async () => frets(await storedPhrase(page))).toBe('3/5 3/7');
  });
});

describe('a dialog that is ended', () => {
  it('is over at once, however late the browser says so', async () => {
    const page = await app.blank();
    // A busy browser hands on keys first, and tells that a dialog has closed later.
    await page.addInitScript(() => {
      const late = (e: Event) => {
        if (!e.isTrusted) return;
        e.stopImmediatePropagation();
        const { target } = e;
        setTimeout(() => target?.dispatchEvent(new Event('close')), 400);
      };
      window.addEventListener('close', late, true);
    });
    await page.goto(address);
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await beginWriting(page);
    for (const end of ['Escape', 'Enter']) {
      await press(page, 'Control+.');
      await page.keyboard.type('set the tempo');
      await press(page, end, 'Control+.');
      if (end === 'Enter') await page.keyboard.type('96');
      await page.waitForTimeout(800);
      expect(await page.locator('dialog[open]').count()).toBe(1);
      // What is typed right after it goes into the field that it asks in.
      if (end === 'Enter') expect(await page.getByLabel(/^Set the tempo/u).inputValue()).toBe('96');
      else expect(await find(page).inputValue()).toBe('');
      await press(page, 'Escape');
      expect(await page.locator('dialog[open]').count()).toBe(0);
    }
    expect(frets(await storedPhrase(page))).toBe('');
  });
});

describe('the page for writing', () => {
  it('says where the writer is, and reads it out', async () => {
    const page = await emptyPage();
    const where = page.locator('.where-line');
    await expect
      .poll(() => where.textContent())
      .toBe(
        'Bar 1, beat 1, string 3: empty. Type a fret and go on with →, or tap the neck; Backspace takes back. ‘Set it up’ is one line for key, metre, tempo, form and title.',
      );
    await press(page, '5');
    await expect
      .poll(() => where.textContent())
      .toBe('Bar 1, beat 1, string 3, fret 5: C, R of the key, for an eighth.');
    expect(await where.getAttribute('role')).toBe('status');
    await press(page, 'Enter', 'ArrowUp');
    await expect.poll(() => where.textContent()).toBe('Bar 1, beat 1 and, string 2: empty.');
    await expectAccessible(page);
  });

  it('says why something cannot be done, on the page and in the list, and does nothing', async () => {
    const page = await emptyPage();
    await press(page, 'h');
    const where = page.locator('.where-line');
    await expect.poll(() => where.textContent()).toMatch(/^Not done: .+\. Bar 1, beat 1/u);
    await press(page, '5', 'Control+.');
    await find(page).fill('higher string');
    const option = page.getByRole('option', { name: /Go to the next higher string/u });
    expect(await option.getAttribute('aria-disabled')).toBe('false');
    await find(page).fill('hammer it on');
    const blocked = page.getByRole('option', { name: /^Hammer it on or pull it off/u });
    await expect.poll(() => blocked.getAttribute('aria-disabled')).toBe('true');
    expect(await blocked.locator('small').textContent()).not.toBe('');
    await expectAccessible(page);
  });

  it('is undone and done again step by step', async () => {
    const page = await emptyPage();
    await press(page, '5', 'Enter', '7', 'Enter', '8', 'b');
    await press(page, 'Control+z', 'Control+z');
    expect(frets(await stored(page))).toBe('3/5 3/7');
    await press(page, 'Control+y');
    expect(frets(await stored(page))).toBe('3/5 3/7 3/8');
    await press(page, 'Control+Shift+Z');
    expect((await stored(page)).voices[0].events[2]!.notes[0]).toHaveProperty('bend');
  });

  it('loses the last key at most when it is closed in the middle of typing', async () => {
    const page = await emptyPage();
    const url = page.url();
    for (const key of ['5', 'Enter', '7', 'Enter', '8', 'Enter', '5', 'ArrowUp', '8']) {
      await page.waitForTimeout(AS_FAST_AS_A_PLAYER);
      await press(page, key);
    }
    await page.close();
    const next = await app.another();
    await next.goto(url);
    await next.locator('.write-score svg').first().waitFor();
    expect(frets(await storedPhrase(next))).toMatch(/^3\/5 3\/7 3\/8 (?:3\/5|2\/8\+3\/5)$/u);
  });

  it('loses nothing when it is loaded anew in a burst of keys', async () => {
    const page = await emptyPage();
    page.on('dialog', (d) => void d.accept());
    const keys = Array.from({ length: 8 }, (_, i) => [String(1 + i), 'Enter']).flat();
    // Without a pause: faster than any hand, and than the disk.
    await Promise.all(keys.map((key) => page.keyboard.press(key)));
    await page.reload();
    await page.locator('.write-score svg').first().waitFor();
    const expected = '3/1 3/2 3/3 3/4 3/5 3/6 3/7 3/8';
    await expect.poll(async () => frets(await storedPhrase(page))).toBe(expected);
  });

  it('two windows show the same, and each goes on from what the other wrote', async () => {
    const one = await emptyPage();
    await press(one, '5', 'Enter');
    await stored(one);
    const two = await app.another();
    await two.goto(one.url());
    await two.locator('.write-score svg').first().waitFor();
    await press(two, 'ArrowRight', '7');
    expect(frets(await stored(two))).toBe('3/5 3/7');
    await one.getByText('was changed in another window').waitFor();
    await press(one, 'Home', 'ArrowRight', 'ArrowRight', '8');
    expect(frets(await stored(one))).toBe('3/5 3/7 3/8');
    // What the other window wrote is not taken back from here.
    await press(one, 'Control+z', 'Control+z');
    expect(frets(await stored(one))).toBe('3/5 3/7');
  });

  it('marks what is out of reach, and says why', async () => {
    const page = await emptyPage();
    await press(page, '2', 'ArrowUp', '9');
    await expect.poll(() => page.locator('.write-fault').count()).toBe(2);
    await expect
      .poll(() => page.locator('.where-line').textContent())
      .toContain('Out of reach: the hand would reach');
    await press(page, 'Backspace');
    await expect.poll(() => page.locator('.write-fault').count()).toBe(0);
  });

  it('copies, cuts and puts in with the system’s keys, as notes and as text', async () => {
    const page = await emptyPage({ permissions: ['clipboard-read', 'clipboard-write'] });
    await press(page, '5', '+', '8', 'b', 'Control+a', 'Control+c');
    await page.getByText('Copied.').waitFor();
    const text = await page.evaluate(() => navigator.clipboard.readText());
    expect(text).toMatch(/^ +G3 \|-+5-+\|\|$/mu);
    // Reading the clipboard takes the browser a moment.
    const music = async () => frets(await stored(page));
    await press(page, 'Escape', 'End', 'Control+v');
    await expect.poll(music).toBe('3/5 2/8 3/5 2/8');
    await press(page, 'Control+a', 'Control+x');
    await expect.poll(music).toBe('');
    await press(page, 'Control+v');
    await expect.poll(music).toBe('3/5 2/8 3/5 2/8');
    const p = await stored(page);
    expect(p.voices[0].events[3]!.notes[0]).toHaveProperty('bend.shape', 'bend');
  });

  it('takes plain tablature from anywhere, and marks the lengths as guessed', async () => {
    const page = await emptyPage({ permissions: ['clipboard-read', 'clipboard-write'] });
    await page.evaluate((tab) => navigator.clipboard.writeText(tab), TAB);
    await press(page, 'Control+v');
    await expect.poll(() => page.locator('.write-guessed').count()).toBe(4);
    const p = await stored(page);
    expect(frets(p)).toBe('3/5 3/7 2/5 2/8');
    expect(p.voices[0].events.every((e) => e.guessed)).toBe(true);
    await page.evaluate(() => navigator.clipboard.writeText('{ "format": "something else" }'));
    await press(page, 'Control+v');
    await page
      .locator('.where-line')
      .getByText(/^Not done: /u)
      .waitFor();
    expect(frets(await storedPhrase(page))).toBe('3/5 3/7 2/5 2/8');
  });

  it('is written in with a finger: a tap goes to a place, the row beneath does the rest', async () => {
    const page = await emptyPage({
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    await press(page, '5', 'Enter', '7');
    const cell = page.locator('.write-cursor rect');
    const at = async () => (await cell.boundingBox())!;
    const before = await at();
    await page.touchscreen.tap(before.x + before.width / 2, before.y - before.height / 2);
    await expect.poll(async () => (await at()).y).toBeLessThan(before.y - before.height / 2);
    await page.touchscreen.tap(before.x + before.width / 2, before.y + before.height / 2);
    await page.locator('.where-line').getByText('string 3, fret 7').waitFor();
    await page.getByRole('button', { name: 'Bend', exact: true }).tap();
    expect((await stored(page)).voices[0].events[1]!.notes[0]).toHaveProperty('bend');
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    // Asked for in one go: the row is drawn anew after a key, and what it had before has no height.
    const row = () =>
      page.evaluate(() =>
        [...document.querySelectorAll('.write-foot button, .write-foot select')]
          .filter((e) => e.checkVisibility())
          .map((e) => e.getBoundingClientRect().height),
      );
    expect((await row()).length).toBeGreaterThan(5);
    expect(Math.min(...(await row()))).toBeGreaterThanOrEqual(44);
    const zoom = await page.locator('meta[name="viewport"]').getAttribute('content');
    expect(zoom).not.toMatch(/user-scalable|maximum-scale/u);
    await expectAccessible(page);
  });

  it('prints the music alone', async () => {
    const page = await emptyPage();
    await press(page, '5');
    const seen = (selector: string) => page.locator(selector).first().isVisible();
    expect(await seen('.write-foot')).toBe(true);
    expect(await seen('.write-over')).toBe(true);
    await page.emulateMedia({ media: 'print' });
    expect(await seen('.write-score .system svg')).toBe(true);
    for (const tool of ['.write-foot', '.write-over', '.write-head .button', '.parts', '.neck']) {
      expect(await seen(tool), tool).toBe(false);
    }
    await page.emulateMedia({ media: null });
  });

  it('chooses by a stroke with the mouse', async () => {
    const page = await emptyPage();
    await press(page, '5', 'Enter', '7', 'Enter', '8', 'Home');
    const first = (await page.locator('.write-cursor rect').boundingBox())!;
    await press(page, 'ArrowRight', 'ArrowRight');
    const last = (await page.locator('.write-cursor rect').boundingBox())!;
    await page.mouse.move(first.x + 5, first.y + 5);
    await page.mouse.down();
    await page.mouse.move(last.x - 20, last.y + 5);
    await page.mouse.move(last.x + 5, last.y + 5);
    await page.mouse.up();
    await page.locator('.where-line').getByText('3 notes chosen').waitFor();
    await press(page, 'Delete');
    expect(frets(await stored(page))).toBe('');
  });
});
