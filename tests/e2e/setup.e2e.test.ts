import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { storedPhrase } from './stored';
import { visits } from './visits';

const app = visits();
const LAPTOP = { viewport: { width: 1280, height: 860 } };
const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
const TABLET = { viewport: { width: 820, height: 1180 }, hasTouch: true, isMobile: true };

const find = (page: Page) => page.getByRole('combobox', { name: 'Say what you want to do' });
const focused = (page: Page) =>
  expect
    .poll(() => page.getByRole('application').evaluate((e) => e === document.activeElement), {
      timeout: 10_000,
    })
    .toBe(true);

/** The phrase as it stands on the disk, once the page says so. */
async function stored(page: Page) {
  await page.getByText('Saved.', { exact: true }).waitFor();
  return storedPhrase(page);
}

const beginAnother = async (page: Page) => {
  await page.keyboard.press('Control+.');
  await page.keyboard.type('write a new');
  await page.keyboard.press('Enter');
};

/** Presses keys and counts them. */
function counting(page: Page) {
  let presses = 0;
  return {
    press: async (...keys: readonly string[]) => {
      for (const key of keys) {
        presses += 1;
        await page.keyboard.press(key === ' ' ? 'Space' : key);
      }
    },
    presses: () => presses,
  };
}

describe('setting a phrase up', () => {
  it('takes 25 keys at most in one line, and comes to the same as dialog by dialog', async () => {
    let page = await app.emptyBar(LAPTOP);
    const setup = async () => {
      const { key, tempo, feel, bars, length, chords, meta } = await stored(page);
      return { key, tempo, feel, bars, length, chords, title: meta.title };
    };
    const line = counting(page);
    await line.press('S');
    const dialog = page.getByRole('dialog', { name: 'Set it up in one line' });
    await dialog.waitFor();
    await line.press(...'A 12b 12/8 92 Mill Race');
    await dialog.getByText('A7 | A7 | A7 | A7 | D7 | D7 | A7 | A7 | E7 | D7 | A7 | E7').waitFor();
    await dialog.getByText('dotted quarter = 92, straight').waitFor();
    await expectAccessible(page);
    await line.press('Enter');
    await focused(page);
    const inOneLine = await setup();
    expect(inOneLine).toMatchObject({ title: 'Mill Race', tempo: { bpm: 92 } });

    // In a profile of its own: nothing of the first phrase is taken for the second.
    page = await app.emptyBar(LAPTOP);
    const apart = counting(page);
    const say = async (words: string, answer: string, name: string) => {
      await apart.press('Control+.', ...words, 'Enter');
      const dialog = page.getByRole('dialog', { name, exact: true });
      await dialog.locator('input[type="text"]:focus, select:focus').waitFor();
      await apart.press(...answer, 'Enter');
      await dialog.waitFor({ state: 'detached' });
      await focused(page);
    };
    await say('in the key', 'A blues', 'Key');
    await say('12/8', '', 'Metre');
    await say('tempo', '92', 'Tempo');
    await apart.press('Control+.', ...'12-bar', 'Enter');
    await focused(page);
    await apart.press('Control+.', ...'title', 'Enter', ...'Mill Race', 'Enter');
    await focused(page);
    expect(await setup()).toEqual(inOneLine);

    expect(line.presses()).toBeLessThanOrEqual(25);
    expect(apart.presses()).toBeGreaterThan(2 * line.presses());
    console.info(`set up: ${line.presses()} keys in one line, ${apart.presses()} by dialogs`);
  });

  it('says what is wrong while it is typed, and changes nothing then', async () => {
    const page = await app.emptyBar(LAPTOP);
    await page.keyboard.press('S');
    const dialog = page.getByRole('dialog', { name: 'Set it up in one line' });
    await dialog.getByRole('textbox').fill('A 12/9');
    await dialog
      .getByText(/^Not so: 12\/9 is none of the metres/u)
      .first()
      .waitFor();
    await page.keyboard.press('Enter');
    expect(await dialog.isVisible()).toBe(true);
    // Words that are tapped are put behind what is there.
    await dialog.getByRole('textbox').fill('Gm');
    await dialog.getByRole('button', { name: /^12\/8/u }).click();
    await dialog.getByRole('button', { name: /^8-bar blues/u }).click();
    expect(await dialog.getByRole('textbox').inputValue()).toBe('Gm 12/8 8b ');
    await page.keyboard.press('Escape');
    expect((await storedPhrase(page)).bars.length).toBe(1);
  });
});

describe('keys that are typed before the page is there', () => {
  it('wait for it in their order, and reach nothing else', async () => {
    const page = await app.library(LAPTOP);
    const late = async (what: string, ms: number) =>
      page.route(what, async (route) => {
        await new Promise((resolve) => setTimeout(resolve, ms));
        await route.continue();
      });
    await late('**/write-page*.js', 400);
    await late('**/action-dialog*.js', 150);
    await page.getByRole('button', { name: 'Write a new phrase' }).click();
    // A dialog that is opened on the way takes what follows; the library's own Ctrl+Z is not meant.
    const keys = [...'SG 3/4 Earll', 'Backspace', ...'y', 'Enter', '5', 'Enter', '7', 'b'];
    for (const key of keys) await page.keyboard.press(key === ' ' ? 'Space' : key);
    await page.locator('.where-line').getByText('Bent up').waitFor();
    await focused(page);
    const { key, bars, meta, voices } = await stored(page);
    expect([key.tonic.letter, bars[0]!.meter.beats, meta.title]).toEqual(['G', 3, 'Early']);
    expect(voices[0].events.map((e) => e.notes[0]?.fret)).toEqual([5, 7]);
    // From the page of one phrase to the next: none goes to the one before.
    const before = page.url();
    await beginAnother(page);
    for (const key of '98') await page.keyboard.press(key);
    await expect.poll(() => page.url() === before).toBe(false);
    await page.locator('.where-line').getByText('string 3, fret 8:').waitFor();
  });
});

describe('the list of what can be done', () => {
  it('opens dialogs with what was named, which take Enter', async () => {
    const page = await app.emptyBar(LAPTOP);
    const say = async (words: string) => {
      await page.keyboard.press('Control+.');
      await find(page).waitFor();
      await page.keyboard.type(words);
    };
    await say('12/8');
    await page.keyboard.press('Enter');
    const metre = page.getByRole('dialog', { name: 'Metre' });
    await metre.getByText('The tempo is dotted quarter = 100 instead of quarter = 100.').waitFor();
    await page.keyboard.press('Enter');
    await focused(page);
    await say('capo 2');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog', { name: 'Capo' }).waitFor();
    await page.keyboard.press('Enter');
    await focused(page);
    await say('drop d');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog', { name: 'Tuning' }).waitFor();
    await page.keyboard.press('Enter');
    await focused(page);
    await say('feel');
    const rows = page.locator('dialog').getByRole('option');
    // What is so already is not offered first.
    await rows.first().getByText('Let it feel like a shuffle').waitFor();
    await find(page).fill('shuffle');
    expect(await rows.count()).toBe(1);
    await find(page).fill('tempo 96');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog', { name: 'Tempo' }).waitFor();
    await page.keyboard.press('Enter');
    await focused(page);
    const p = await stored(page);
    expect(p.tempo).toEqual({ bpm: 96, unit: 'dotted-quarter' });
    expect(p.instrument.capo).toBe(2);
    expect(p.instrument.tuning.at(-1)).toMatchObject({ letter: 'D', octave: 2 });
  });

  it('prints, exports and copies from the page for writing; ? shows the keys', async () => {
    const page = await app.emptyBar(LAPTOP);
    await page.keyboard.press('7');
    const first = (await stored(page)).id;
    const row = page.getByRole('navigation', { name: 'What to do with this phrase' });
    await row.getByRole('button', { name: 'Export it' }).click();
    await page.getByRole('dialog', { name: 'Export 1 phrase' }).waitFor();
    await page.keyboard.press('Escape');
    await row.getByRole('button', { name: 'Print it' }).click();
    await page.waitForURL(/#\/print\//u);
    // Who goes back before that page is there has never left this one, and its button keeps the focus.
    await page.getByRole('application').waitFor({ state: 'detached' });
    await page.goBack();
    await page.getByRole('application').locator('svg').first().waitFor();
    await focused(page);
    await page.keyboard.press('?');
    await page.getByRole('heading', { name: 'What the keys do' }).waitFor();
    await page.goBack();
    await page.getByRole('application').locator('svg').first().waitFor();
    await row.getByRole('button', { name: 'Write on in a copy' }).click();
    await expect.poll(() => page.url().includes(first)).toBe(false);
    await page.getByRole('application').locator('svg').first().waitFor();
    const copy = await storedPhrase(page);
    expect([copy.parent, copy.voices[0].events[0]!.notes[0]!.fret]).toEqual([first, 7]);
  });
});

describe('chords before bars', () => {
  it('offers to add the bars that chords were typed for', async () => {
    const page = await app.emptyBar(LAPTOP);
    await page.locator('.part > summary', { hasText: 'Chords' }).click();
    const lane = page.getByLabel('All chords in one line');
    await lane.fill('I7 | IV7 | I7 | V7');
    await page.getByText('These are 4 bars of chords, and the phrase has 1 bar.').waitFor();
    await expectAccessible(page);
    expect((await storedPhrase(page)).bars.length).toBe(1);
    await page.getByRole('button', { name: /^Add 3 bars and write them/u }).click();
    expect((await stored(page)).chords.map((c) => c.symbol)).toEqual(['C7', 'F7', 'C7', 'G7']);
    // More of them by Enter, and a form by its name.
    await lane.fill('I7 | IV7 | I7 | V7 | I7');
    await lane.press('Enter');
    await page.locator('.where-line').getByText('a bar added').waitFor();
    await page.getByLabel(/^Or a form by its name/u).selectOption('12-bar blues');
    await page.locator('.where-line').getByText('7 bars added').waitFor();
    expect((await stored(page)).bars.length).toBe(12);
  });
});

describe('the keys under a finger', () => {
  it.each([
    ['a phone', PHONE],
    ['a tablet', TABLET],
    ['a phone on its side', { ...PHONE, viewport: { width: 844, height: 390 } }],
  ])(
    'are never under the bar that sticks, wherever the page is scrolled: %s',
    async (_, device) => {
      const page = await app.emptyBar(device);
      await page.locator('.touch-keys button').first().waitFor();
      const hidden = () =>
        page.locator('.touch-keys button').evaluateAll((keys) =>
          keys.flatMap((key) => {
            // A row that is pushed sideways is pushed, as a finger would.
            key.scrollIntoView({ block: 'nearest', inline: 'center' });
            const box = key.getBoundingClientRect();
            const at = document.elementFromPoint(
              box.left + box.width / 2,
              box.top + box.height / 2,
            );
            const small = Math.min(box.width, box.height) < 44;
            return key.contains(at) && !small ? [] : [key.getAttribute('aria-label') ?? ''];
          }),
        );
      expect(await hidden()).toEqual([]);
      await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
      expect(await hidden()).toEqual([]);
      await expectAccessible(page);
    },
  );

  it('are signs with names, of which the one in force is pressed and not out of use', async () => {
    const page = await app.emptyBar(PHONE);
    const lengths = page.getByRole('group', { name: 'Length' });
    const half = lengths.getByRole('button', { name: 'Make it a half note', exact: true });
    await half.locator('svg').waitFor();
    const eighth = lengths.getByRole('button', { name: 'Make it an eighth', exact: true });
    expect(await eighth.getAttribute('aria-pressed')).toBe('true');
    expect(await eighth.getAttribute('aria-disabled')).not.toBe('true');
    await half.tap();
    await expect.poll(() => half.getAttribute('aria-pressed')).toBe('true');
    expect(await eighth.getAttribute('aria-pressed')).toBe('false');
    const pressed = await half.evaluate((e) => getComputedStyle(e).backgroundColor);
    expect(pressed).not.toBe(await eighth.evaluate((e) => getComputedStyle(e).backgroundColor));
  });

  it('choose several notes, and let go with the next edit', async () => {
    const page = await app.emptyBar(PHONE);
    for (const key of ['5', 'Enter', '7', 'Enter', '8']) await page.keyboard.press(key);
    const choose = page.locator('.touch').getByRole('button', { name: 'choose', exact: true });
    await choose.tap();
    await page.getByRole('application').locator('.system text', { hasText: /^5$/u }).first().tap();
    await page.locator('.where-line').getByText('3 notes chosen').waitFor();
    await page.getByRole('button', { name: /^Palm mute/u }).tap();
    await expect.poll(() => choose.getAttribute('aria-pressed')).toBe('false');
    const p = await stored(page);
    expect(p.voices[0].events.map((e) => e.palmMute)).toEqual([true, true, true]);
  });
});

describe('the neck on a laptop', () => {
  it('is in sight as a whole, with the hand on it', async () => {
    const page = await app.emptyBar(LAPTOP);
    const neck = page.locator('.neck-scroll');
    await neck.locator('svg').waitFor();
    const sight = () =>
      page.evaluate(() => {
        const scroll = document.querySelector('.neck-scroll')!;
        const box = scroll.getBoundingClientRect();
        const foot = document.querySelector('.write-foot')!.getBoundingClientRect();
        const buttons = [...document.querySelectorAll('.neck-row button')];
        const sizes = buttons.map((b) => b.getBoundingClientRect());
        return {
          sideways: scroll.scrollWidth - scroll.clientWidth,
          above: foot.top - box.bottom,
          narrowest: Math.min(...sizes.map((s) => Math.min(s.width, s.height))),
        };
      });
    const seen = await sight();
    expect(seen.sideways).toBeLessThanOrEqual(1);
    expect(seen.above).toBeGreaterThanOrEqual(0);
    // WCAG 2.5.8: 24 px for a pointer.
    expect(seen.narrowest).toBeGreaterThanOrEqual(24);
    await page.keyboard.press('1');
    await page.keyboard.press('7');
    const hand = (await page.locator('.neck-hand').boundingBox())!;
    const box = (await neck.boundingBox())!;
    expect(hand.x).toBeGreaterThanOrEqual(box.x);
    expect(hand.x + hand.width).toBeLessThanOrEqual(box.x + box.width);
  });
});
