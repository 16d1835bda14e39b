import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const BENDS = 'sample-19-milk-cart-bends';
const DOORS = 'sample-07-two-doors-one-key';

const { at, library } = visits();

/** What is seen of an element, in px of the window; it must be there once. */
const box = async (page: Page, selector: string) => {
  const seen = await page.locator(selector).boundingBox();
  if (seen === null) throw new Error(`${selector} is not seen`);
  return seen;
};

const writing = async (page: Page) => {
  await page.locator('.write-score svg').first().waitFor();
  await page.locator('.write-score').focus();
};

describe('what stays at the foot of the writing page', () => {
  it.each([
    ['a phone', 390, 844],
    ['a phone that lies', 844, 390],
    ['a phone with its keyboard up', 390, 480],
  ])(
    'takes little more than a third of %s with its keys, and the way back is in sight',
    async (...size) => {
      const [, width, height] = size;
      const page = await at(`#/phrase/${BENDS}/write`, {
        viewport: { width, height },
        hasTouch: true,
        isMobile: true,
      });
      await writing(page);
      for (const key of ['b', '3', 'T']) await page.keyboard.press(key);
      await page.getByText('Saved.', { exact: true }).waitFor();
      const foot = await box(page, '.write-foot');
      // The keys stand in it, as a keyboard would stand under it: never beneath what sticks.
      const keys = await box(page, '.write-foot .touch');
      expect(foot.height - keys.height).toBeLessThanOrEqual(height / 3);
      // A window this low has one row of keys.
      expect(foot.height).toBeLessThanOrEqual(height * (height < 544 ? 0.5 : 0.37));
      const undo = await box(page, '.save-state button');
      expect(undo.x + undo.width).toBeLessThanOrEqual(width);
      expect(undo.height).toBeGreaterThanOrEqual(44);
      await expectAccessible(page);
    },
  );

  it('has one row for what can be done with a chosen block', async () => {
    const page = await at(`#/phrase/${BENDS}/write`, { viewport: { width: 1280, height: 860 } });
    await writing(page);
    await page.keyboard.press('Shift+ArrowRight');
    await page.getByRole('button', { name: 'Cut' }).waitFor();
    const tops = await page
      .locator('.offers button')
      .evaluateAll((all) => all.map((b) => Math.round(b.getBoundingClientRect().top)));
    expect(tops.length).toBeGreaterThan(8);
    expect(new Set(tops).size).toBe(1);
    // A title of any length wraps.
    const title = page.getByRole('textbox', { name: 'Title' });
    await title.fill('Long after the ferry '.repeat(12).trim());
    const cut = await title.evaluate((e) => [
      e.scrollWidth - e.clientWidth,
      e.scrollHeight - e.clientHeight,
    ]);
    expect(Math.max(...cut)).toBeLessThanOrEqual(1);
  });
});

it('a dialog stands in the middle of the window', async () => {
  const page = await library({ viewport: { width: 820, height: 1180 } });
  await page.locator('.choose input').first().check();
  await page.locator('.choice-bar').getByRole('button', { name: 'Export' }).click();
  const { y, height } = await box(page, 'dialog[open]');
  expect(Math.abs(y + height / 2 - 1180 / 2)).toBeLessThan(2);
});

describe('on paper', () => {
  it.each([
    ['a phrase', `#/phrase/${DOORS}`, '.phrase-page .score svg'],
    ['a move', `#/phrase/${DOORS}/move?to=IV7`, '.pair svg'],
    ['two phrases compared', `#/compare/${DOORS}/${BENDS}`, '.pair svg'],
    ['the library', '#/', '.card'],
  ])('%s stands without anything to press', async (_, place, what) => {
    const page = await at(place);
    await page.locator(what).first().waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator(what).first().isVisible()).toBe(true);
    const seen = await page.evaluate(() =>
      [...document.querySelectorAll('button, .button, input, select, textarea, summary')]
        .filter((e) => e.checkVisibility({ visibilityProperty: true }))
        .map((e) => e.outerHTML),
    );
    expect(seen).toEqual([]);
  });
});

it('the phrase that moves has its room before it comes', async () => {
  const page = await library({ viewport: { width: 1280, height: 860 } });
  await page.locator('.moved-phrase svg').first().waitFor();
  const heights = async () => {
    const all: number[] = [];
    for (const width of [390, 820, 1280]) {
      await page.setViewportSize({ width, height: 860 });
      all.push((await box(page, '.first-visit')).height);
    }
    return all;
  };
  const there = await heights();
  await page.locator('.moved-phrase').evaluate((e) => e.remove());
  const before = await heights();
  expect(before.map((h, i) => Math.round(Math.abs(h - there[i]!)))).toEqual([0, 0, 0]);
});
