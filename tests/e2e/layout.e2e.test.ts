import type { Page } from 'playwright';
import { describe, expect, inject, it } from 'vitest';
import { expectAccessible } from './browser';
import { CUT, styledBy, TWICE } from './text-trouble';
import { visits } from './visits';

const BENDS = 'sample-19-milk-cart-bends';
const DOORS = 'sample-07-two-doors-one-key';

const { at, blank, library } = visits();

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
  ])(
    '%s stands without anything to press, and nothing is cut at 320 px or with text at 200 %',
    async (_, place, what) => {
      const page = await at(place);
      await page.locator(what).first().waitFor();
      // In a narrow window (WCAG 2.2, 1.4.10) and with the browser's text at 200 % (1.4.4) nothing is cut or wider than it.
      await page.setViewportSize({ width: 320, height: 640 });
      await expect.poll(() => page.evaluate<string[]>(CUT)).toEqual([]);
      await page.setViewportSize({ width: 1280, height: 860 });
      await page.evaluate(styledBy(TWICE));
      await expect.poll(() => page.evaluate<string[]>(CUT)).toEqual([]);
      await page.evaluate(styledBy(''));
      await page.emulateMedia({ media: 'print' });
      expect(await page.locator(what).first().isVisible()).toBe(true);
      const seen = await page.evaluate(() =>
        [...document.querySelectorAll('button, .button, input, select, textarea, summary')]
          .filter((e) => e.checkVisibility({ visibilityProperty: true }))
          .map((e) => e.outerHTML),
      );
      expect(seen).toEqual([]);
      // Colours that are forced on the screen stay there: black music on black would be nothing.
      await page.emulateMedia({ media: 'print', forcedColors: 'active', colorScheme: 'dark' });
      const paper = 'getComputedStyle(document.documentElement).backgroundColor';
      expect(await page.evaluate(paper)).toBe('rgb(255, 255, 255)');
    },
  );
});

it('the phrase that moves has its room before it comes', async () => {
  const page = await library({ viewport: { width: 1280, height: 860 } });
  await page.locator('.moved-phrase svg').first().waitFor();
  const heights = async (selector: string) => {
    const all: number[] = [];
    for (const width of [390, 820, 1280]) {
      await page.setViewportSize({ width, height: 860 });
      all.push((await box(page, selector)).height);
    }
    return all;
  };
  const there = await heights('.first-visit');
  // In a copy: what the program holds is taken out of the page by nobody else.
  await page.locator('.first-visit').evaluate((section) => {
    const copy = section.cloneNode(true) as HTMLElement;
    copy.classList.add('without-music');
    copy.querySelector('.moved-phrase')?.remove();
    section.after(copy);
    (section as HTMLElement).style.display = 'none';
  });
  const before = await heights('.without-music');
  expect(before.map((h, i) => Math.round(Math.abs(h - there[i]!)))).toEqual([0, 0, 0]);
});

type Parts = readonly (readonly [
  words: string,
  x: number,
  y: number,
  wide: number,
  high: number,
])[];

/** Where the parts of the first visit stand, in px. */
const PARTS = `JSON.stringify([...document.querySelectorAll(
  'h1, .buttons > *, .first-visit, .first-visit h2, .first-visit-music svg, figcaption p, figcaption button',
)].map((e) => {
  const { x, y, width, height } = e.getBoundingClientRect();
  return [e.localName === 'svg' ? 'music' : e.textContent, ...[x, y, width, height].map(Math.round)];
}))`;
const parts = async (page: Page): Promise<Parts> => JSON.parse(await page.evaluate<string>(PARTS));

/** What is held up until somebody lets it on. */
function gate(): { readonly opened: Promise<void>; readonly open: () => void } {
  let open = () => {};
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { opened, open };
}

/** A module that has run says no more than that it has come; what waits in the queue runs first. */
const FIRST_SIGHT_RAN = `new Promise((ran) => setTimeout(ran)).then(() =>
  performance.getEntriesByType('resource').some((r) => r.name.includes('/first-sight-') && r.responseEnd > 0))`;

it('a first visit sees its first music before the program comes, and nothing moves when it does', async () => {
  const page = await blank({
    viewport: { width: 390, height: 844 },
    // Its requests could not be held up.
    serviceWorkers: 'block',
  });
  /** The program waits for this. */
  let program = gate();
  await page.route(/start-[^/]*[.]js$/u, async (route) => {
    await program.opened;
    await route.continue();
  });
  const come = () => page.goto(inject('appAddress'), { waitUntil: 'commit' });
  await come();
  await page.locator('#first-sight .moved-phrase svg').waitFor();
  await page.evaluate(() => document.fonts.ready.then(() => undefined));
  const before = await parts(page);
  expect(before.map(([words]) => words)).toContain('music');
  await expectAccessible(page);
  program.open();
  await page.locator('.card svg').first().waitFor();
  // The music may be two lines by then, and its button say where they are.
  const still = (all: Parts) =>
    all.filter(([words]) => words !== 'music' && !words.startsWith('Move it'));
  expect(still(await parts(page))).toEqual(still(before));
  // Whoever comes again waits for the library.
  const here = () => page.evaluate(() => localStorage.getItem('degreewise.was-here'));
  await expect.poll(here).toBe('yes');
  program = gate();
  await come();
  await expect.poll(() => page.evaluate(FIRST_SIGHT_RAN)).toBe(true);
  expect(await page.locator('#first-sight').isHidden()).toBe(true);
  program.open();
  await page.locator('.card svg').first().waitFor();
});
