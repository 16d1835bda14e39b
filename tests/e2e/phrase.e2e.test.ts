import { readFileSync } from 'node:fs';
import { unzipSync } from 'fflate';
import type { Page } from 'playwright';
import { describe, expect, inject, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const address = inject('appAddress');
const BENDS = 'sample-19-milk-cart-bends';

const app = visits();

const { at } = app;

/** A second window of the same profile, on the same phrase. */
async function another(before?: () => void): Promise<Page> {
  const page = await app.another();
  if (before !== undefined) await page.addInitScript(before);
  await page.goto(`${address}#/phrase/${BENDS}`);
  await heading(page, 'Milk Cart Bends').waitFor();
  return page;
}

const heading = (page: Page, name: string) => page.getByRole('heading', { level: 1, name });
const change = (page: Page) => page.getByRole('button', { name: /^Change title/u }).click();

describe('the page of a phrase', () => {
  it('shows the music large, with every note in words for a screen reader', async () => {
    const page = await at(`#/phrase/${BENDS}`);
    await page.locator('.phrase-page .score svg').first().waitFor();
    const notes = page.getByRole('list', { name: 'Notes of Milk Cart Bends' });
    expect(await notes.textContent()).toMatch(
      /Bar 1, over C[\s\S]*Beat 1, string 3, fret 7: D, 2 of C.*bent a whole tone to E, 3 of C/u,
    );
    await expectAccessible(page);
  });

  it('what is said about it is saved as it is typed, and comes back step by step', async () => {
    const page = await at(`#/phrase/${BENDS}`);
    await change(page);
    await page.getByLabel('Title').fill('Dairy');
    await heading(page, 'Dairy').waitFor();
    await page.getByLabel('Tags').fill('steel, slow,');
    await page.getByLabel('Level').selectOption({ label: '2, easy' });
    await page.getByLabel('In the style of').fill('');
    await page
      .getByRole('textbox', { name: 'Notes for students' })
      .fill('Listen first.\nThen play.');
    await page.getByText('Saved.', { exact: true }).waitFor();
    await expectAccessible(page);
    await page.reload();
    await heading(page, 'Dairy').waitFor();
    await page.getByText('Then play.').waitFor();
    await page.getByText('Level 2, easy').waitFor();
    await page.getByText('steel, slow').waitFor();
    expect(await page.locator('.style-of').count()).toBe(0);
    // All of it is listed as one sitting, to be compared with and put back.
    await page.getByRole('link', { name: 'Earlier versions of this phrase' }).click();
    await heading(page, 'Earlier versions').waitFor();
    const rows = page.locator('.version-list > li');
    await expect.poll(() => rows.count()).toBe(2);
    expect(await rows.nth(1).textContent()).toContain('changed then: title, notes for students');
    await rows.nth(1).getByRole('button', { name: 'Compare with now' }).click();
    await page.locator('.pair svg').first().waitFor();
    // What is compared stands apart from the buttons that opened it.
    const apart = await rows.nth(1).evaluate((e) => {
      const [head, panel] = [...e.children].map((c) => c.getBoundingClientRect());
      return panel!.top - head!.bottom;
    });
    expect(apart).toBeGreaterThanOrEqual(8);
    const row = page.getByRole('row', { name: /^Title/u });
    expect(await row.textContent()).toBe('TitleMilk Cart BendsDairy');
    await expectAccessible(page);
    await rows.nth(1).getByRole('button', { name: 'Put back' }).click();
    await page.getByRole('link', { name: 'Milk Cart Bends', exact: true }).waitFor();
    await expect.poll(() => rows.count()).toBe(3);
    await page.getByText('Nothing: all').waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await page.getByRole('link', { name: 'Dairy', exact: true }).waitFor();
    await page.reload();
    await page.getByRole('link', { name: 'Dairy', exact: true }).waitFor();
    await expect.poll(() => rows.count()).toBe(3);
    expect(await rows.nth(1).textContent()).toContain('before an earlier version was put back');
    await page.getByRole('link', { name: 'Dairy', exact: true }).click();
    await heading(page, 'Dairy').waitFor();
    await change(page);
    await page.getByLabel('Title').fill('Dairy again');
    await page.getByRole('button', { name: 'Undo the title' }).click();
    await heading(page, 'Dairy').waitFor();
    await page.getByRole('button', { name: 'Do the title again' }).click();
    await heading(page, 'Dairy again').waitFor();
    await page.getByText('Saved.', { exact: true }).waitFor();
  });

  it('shows other places on the neck and keeps one', async () => {
    const page = await at(`#/phrase/${BENDS}`);
    await page.getByText('Other places on the neck').click();
    const places = page.locator('.places > li');
    await places.first().locator('svg.dw-score').waitFor();
    expect(await places.count()).toBeGreaterThan(1);
    expect(await places.count()).toBeLessThanOrEqual(5);
    // Each says what it asks of the hand, and its degrees stand under the tablature.
    const first = places.first();
    expect(await first.textContent()).toMatch(/Around fret \d+ effort −?[\d.]+/u);
    expect(await first.locator('p').first().textContent()).toMatch(/shift|stretch|bend|string/iu);
    expect(await first.locator('svg.dw-score').first().textContent()).toContain('5');
    const width = (await first.locator('.score').boundingBox())!.width;
    expect(width).toBeGreaterThan((await page.locator('.other-places').boundingBox())!.width * 0.9);
    await page.getByLabel('The first note stays where it is').check();
    await page
      .getByText(/other place/u)
      .first()
      .waitFor();
    await page.getByLabel('The first note stays where it is').uncheck();
    await places.first().locator('svg.dw-score').waitFor();
    const notes = page.getByRole('list', { name: 'Notes of Milk Cart Bends' });
    const before = await notes.textContent();
    await places.first().getByRole('button', { name: 'Play it here' }).click();
    await expect.poll(() => notes.textContent()).not.toBe(before);
    await page.getByText('Saved.', { exact: true }).waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Undo the place on the neck' }).click();
    await expect.poll(() => notes.textContent()).toBe(before);
    const other = places.first();
    await other.locator('svg.dw-score').waitFor();
    await other.getByRole('button', { name: 'Keep as a new phrase' }).click();
    await page.getByText('Made from Milk Cart Bends').waitFor();
  });

  it('shows other places of one part of a long phrase, and takes one back from the notice', async () => {
    const page = await at('#/phrase/sample-06-twelve-at-the-salt-loft?places=yes');
    const parts = page.getByRole('region', { name: 'Part by part' }).locator('details');
    await parts.nth(1).locator('summary').click();
    const place = parts.nth(1).locator('.places > li').first();
    await place.locator('svg').first().waitFor();
    const notes = page.getByRole('list', { name: 'Notes of Twelve at the Salt Loft' });
    const before = await notes.textContent();
    await place.getByRole('button', { name: 'Play it here' }).click();
    await expect.poll(() => notes.textContent()).not.toBe(before);
    const after = (await notes.textContent())!;
    expect(after.slice(0, 200)).toBe(before!.slice(0, 200));
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await expect.poll(() => notes.textContent()).toBe(before);
  });

  it('is exported and removed from its own page, and brought back', async () => {
    const page = await at(`#/phrase/${BENDS}`);
    await page.getByRole('button', { name: 'Export it' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('heading', { name: 'Export 1 phrase' }).waitFor();
    const download = page.waitForEvent('download');
    await dialog.getByRole('button', { name: 'Export', exact: true }).click();
    expect((await download).suggestedFilename()).toMatch(/\.musicxml$/u);
    // As sound, each key a file of its own, in 24 bits (RIFF: bits a sample at byte 34).
    await page.getByRole('button', { name: 'Export it' }).click();
    await dialog.getByRole('radio', { name: /\(\.wav\)/u }).check();
    await dialog.getByRole('combobox', { name: 'Keys' }).selectOption('list');
    await dialog.getByRole('textbox', { name: 'Chords or keys' }).fill('C, nowhere');
    await dialog.getByRole('combobox', { name: 'Files' }).selectOption('apart');
    await dialog.getByRole('combobox', { name: 'Sample size' }).selectOption('24');
    await dialog.getByRole('button', { name: 'Export', exact: true }).click();
    await dialog.getByRole('alert').getByText('nowhere', { exact: false }).waitFor();
    await dialog.getByRole('textbox', { name: 'Chords or keys' }).fill('C, F');
    const sound = page.waitForEvent('download');
    await dialog.getByRole('button', { name: 'Export', exact: true }).click();
    const file = await sound;
    expect(file.suggestedFilename()).toMatch(/\.zip$/u);
    const packed = unzipSync(readFileSync(await file.path()));
    expect(Object.keys(packed).map((n) => n.replace(/^.*(?=-\d-)/u, ''))).toEqual([
      '-1-C.wav',
      '-2-F.wav',
    ]);
    expect(Object.values(packed).map((bytes) => bytes[34])).toEqual([24, 24]);
    await page.keyboard.press('Escape');
    await page.keyboard.press('Control+.');
    await page.getByRole('combobox', { name: 'Say what you want to do' }).fill('remove it');
    await page.keyboard.press('Enter');
    await page.getByText('32 phrases', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
  });

  it('keeps how the music is shown in its address', async () => {
    const page = await at(`#/phrase/${BENDS}?show=tab&degrees=key`);
    await page.locator('.phrase-page .score svg').first().waitFor();
    expect(await page.getByLabel('Show', { exact: true }).inputValue()).toBe('tab');
    await page.getByLabel('Degrees', { exact: true }).selectOption({ label: 'not shown' });
    await expect.poll(() => page.url()).toContain('degrees=off');
    await expect.poll(() => page.locator('.score .dw-degree').count()).toBe(0);
  });

  it('says so where a phrase is not in the library', async () => {
    const page = await at('#/phrase/nobody');
    await heading(page, 'This phrase is not here').waitFor();
    await expectAccessible(page);
    await page.getByRole('link', { name: 'Go to the library' }).click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
    // The window is called after the page that is shown, not after the one before.
    for (const [place, noun] of [
      ['phrase', 'phrase'],
      ['lesson', 'lesson'],
      ['plan', 'practice plan'],
      ['collection', 'collection'],
    ] as const) {
      await page.evaluate((hash) => window.location.assign(hash), `#/${place}/nobody`);
      await heading(page, `This ${noun} is not here`).waitFor();
      await expect.poll(() => page.title()).toBe(`This ${noun} is not here · Degreewise`);
    }
  });

  it('two windows show the same', async () => {
    const one = await at(`#/phrase/${BENDS}`);
    const two = await another();
    await change(one);
    await one.getByLabel('Title').fill('Mine');
    await one.getByText('Saved.', { exact: true }).waitFor();
    await heading(two, 'Mine').waitFor();
  });

  it('two windows that edit one phrase at the same time lose nothing, and say so', async () => {
    const one = await at(`#/phrase/${BENDS}`);
    // A window that hears nothing of the others edits what is no longer the newest.
    const two = await another(() => {
      class Deaf extends EventTarget {
        postMessage(): void {}
        close(): void {}
      }
      Object.assign(window, { BroadcastChannel: Deaf });
    });
    await change(one);
    await one.getByLabel('Title').fill('Mine');
    await one.getByText('Saved.', { exact: true }).waitFor();
    await change(two);
    await two.getByLabel('Title').fill('Yours');
    // The first phrase is theirs; this window goes on with its own.
    await two.getByText('Both are kept: you go on with “Yours (second version)”.').waitFor();
    await heading(two, 'Yours (second version)').waitFor();
    await heading(one, 'Mine').waitFor();
    await expectAccessible(two);
    await two.getByRole('button', { name: 'Compare the two' }).first().click();
    await heading(two, 'Two phrases compared').waitFor();
    await two
      .getByText(/Every note is the same\.|^Nothing: all \d+ notes are the same\.$/u)
      .waitFor();
    await two.goBack();
    await heading(two, 'Yours (second version)').waitFor();
  });

  it('fits a phone', async () => {
    const page = await at(`#/phrase/${BENDS}`, { viewport: { width: 390, height: 844 } });
    await page.locator('.phrase-page .score svg').first().waitFor();
    await change(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    await expectAccessible(page);
  });
});
