import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const FERRY = 'sample-01-first-ferry-out';

const { at } = visits();

describe('varying a phrase', () => {
  it('chooses, goes on from a result, hears the others in turn, keeps with one key', async () => {
    const page = await at(`#/phrase/${FERRY}`);
    await page.getByRole('link', { name: 'Vary it' }).click();
    await page.getByRole('heading', { level: 1, name: 'Vary First Ferry Out' }).waitFor();
    // Variations are made away from the page, which stays awake.
    const worker = page.waitForEvent('worker', (w) => w.url().includes('vary-worker'));
    await page.getByRole('button', { name: 'slid into from below' }).click();
    await worker;
    await page.getByText(/results, the best first\. Each can be played/u).waitFor();
    const notes = page.getByRole('list', { name: 'Notes of result 1' });
    await expect.poll(() => notes.textContent()).toContain('slid');
    await expectAccessible(page);

    await page.getByRole('button', { name: /^Go on from it.*result 1$/u }).click();
    await page.getByRole('button', { name: 'approached from below' }).click();
    await page
      .getByRole('heading', { level: 3, name: /^1\. Approached from a semitone/u })
      .waitFor();

    // In turn: each press goes one on.
    const heard = page.getByRole('radio', { checked: true });
    const now = () => heard.locator('..').textContent();
    const first = await now();
    await page.keyboard.press('Alt+X');
    await expect.poll(now).not.toBe(first);
    await page.getByRole('button', { name: /^Hear this one.*result 1$/u }).click();

    await page.keyboard.press('Alt+K');
    const title = 'First Ferry Out, slid into from below, approached from below';
    await page.getByRole('heading', { level: 1, name: title }).waitFor();
    await page.getByText('Made from First Ferry Out').waitFor();
    await page
      .locator('.notice', { hasText: 'Kept as' })
      .getByRole('button', { name: 'Undo' })
      .click();
    await page.getByRole('heading', { level: 1, name: 'Vary First Ferry Out' }).waitFor();
    await page
      .getByRole('heading', { level: 3, name: /^1\. Approached from a semitone/u })
      .waitFor();
  });
});
