import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const { at } = visits();

const bar = (page: Page, n: number) => page.locator(`[data-bar="${n}"]`);
const laid = (page: Page) =>
  page.locator('.form-bars button').evaluateAll((all) => all.map((b) => b.textContent));
const settled = (page: Page) =>
  page
    .getByRole('status')
    .filter({ hasText: /phrases? laid over the form/u })
    .waitFor();

describe('a solo over a form', () => {
  it('is proposed, exchanged in place, pinned, put together by keys, undone and kept', async () => {
    const page = await at('#/solo?form=blues&key=A');
    await settled(page);
    const first = await laid(page);
    expect(first.length).toBe(12);

    // Keys go from bar to bar; the next best comes in place and all else stays.
    await bar(page, 1).focus();
    await page.keyboard.press('ArrowDown');
    await expect.poll(() => bar(page, 5).getAttribute('aria-pressed')).toBe('true');
    await page.getByLabel('Play each exchange at once').uncheck();
    const exchange = page.getByRole('button', { name: 'Exchange for the next best' });
    await expect.poll(() => exchange.isEnabled()).toBe(true);
    await exchange.click();
    await expect.poll(async () => (await laid(page))[4]).not.toBe(first[4]);
    await settled(page);
    const second = await laid(page);
    expect(second.slice(0, 3)).toEqual(first.slice(0, 3));
    expect(second.slice(8)).toEqual(first.slice(8));
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await expect.poll(() => laid(page)).toEqual(first);

    // A phrase put onto a bar stays there through another chorus.
    await page.getByLabel('Title or tag').fill('Third Rung');
    await page.getByRole('button', { name: /^Put .*Third Rung here/u }).click();
    await expect.poll(async () => (await laid(page))[4]).toMatch(/Third Rung, pinned$/u);
    await settled(page);
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Another chorus' }).click();
    await settled(page);
    expect((await laid(page))[4]).toMatch(/Third Rung, pinned$/u);

    // A bar is kept empty; the address brings all of it back.
    await page.getByRole('button', { name: 'Take it away' }).click();
    await expect.poll(async () => (await laid(page))[4]).toMatch(/empty$/u);
    await settled(page);
    const put = await laid(page);
    await page.reload();
    await settled(page);
    expect(await laid(page)).toEqual(put);
    await page.getByRole('button', { name: 'Keep it as a phrase' }).click();
    await page.getByRole('heading', { level: 1, name: /^Solo over twelve-bar blues/u }).waitFor();
  });
});
