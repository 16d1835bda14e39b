import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const { at } = visits();

const notes = (page: Page) => page.getByRole('list', { name: 'Notes of Milk Cart Bends' });
const place = (page: Page, name: RegExp) => page.getByRole('button', { name });

describe('the neck', () => {
  it('is brought out, gone along by keys, heard, and a note is dragged to another string', async () => {
    const page = await at('#/phrase/sample-19-milk-cart-bends');
    await page.getByRole('button', { name: 'Show the neck' }).click();
    const neck = page.getByRole('group', { name: /^Neck/u });
    await neck.waitFor();
    expect(page.url()).toContain('neck=phrase');
    // By keys: one stop for Tab, arrows inside, Enter chooses.
    const first = neck.getByRole('button').first();
    await first.focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    await expect
      .poll(() => neck.locator('[aria-pressed="true"]').getAttribute('aria-label'))
      .toMatch(/^string [234], fret \d+: .* of C7?/u);
    await expectAccessible(page);
    // String 4, fret 10 is C, which string 3 has at fret 5.
    const before = await notes(page).textContent();
    expect(before).toContain('string 4, fret 10');
    const low = place(page, /^string 4, fret 10:/u);
    const from = (await low.boundingBox())!;
    const to = (await place(page, /^string 3, fret 5:/u).boundingBox())!;
    await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
    await page.mouse.down();
    await page.mouse.move(from.x - 40, from.y - 10, { steps: 4 });
    await page.mouse.move(to.x + to.width / 2, to.y + to.height / 2, { steps: 6 });
    await page.mouse.up();
    await expect.poll(() => notes(page).textContent()).not.toContain('string 4, fret 10');
    await page.getByRole('button', { name: 'Undo the place on the neck' }).click();
    await expect.poll(() => notes(page).textContent()).toBe(before);
    // And by keys.
    await low.focus();
    await page.keyboard.press('Alt+ArrowUp');
    await expect.poll(() => notes(page).textContent()).not.toContain('string 4, fret 10');
    await page.getByRole('button', { name: 'Undo the place on the neck' }).click();
    await expect.poll(() => notes(page).textContent()).toBe(before);
    // The address brings it back; it is put away again.
    await page.reload();
    await neck.waitFor();
    await page.getByLabel('Neck shows').selectOption({ label: 'minor pentatonic' });
    await page
      .getByRole('button', { name: /E♭, ♭3 of C minor pentatonic$/u })
      .first()
      .waitFor();
    await page.getByRole('button', { name: 'Put the neck away' }).click();
    expect(await neck.count()).toBe(0);
  });

  it('shows the shapes of a chord, which are heard and put behind the phrase', async () => {
    const page = await at('#/phrase/sample-19-milk-cart-bends?neck=shapes&near=5');
    const shapes = page.getByRole('list', { name: 'Shapes of C', exact: true });
    await shapes.getByRole('button').first().waitFor();
    await page.getByRole('combobox', { name: /^Shapes/u }).selectOption({ label: 'triads' });
    await page.getByText(/^\d+ shapes of C around fret 5/u).waitFor();
    await shapes
      .getByRole('button', { name: /first inversion/u })
      .first()
      .click();
    const over = page.getByRole('list', { name: 'Over the chords of the lane' });
    expect(await over.getByRole('listitem').count()).toBe(2);
    await page.getByRole('button', { name: 'Hear it slid into' }).click();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Put it behind the phrase' }).click();
    await expect.poll(() => notes(page).textContent()).toMatch(/Bar 4/u);
    await page.getByRole('button', { name: 'Undo the shape' }).click();
    await expect.poll(() => notes(page).textContent()).not.toMatch(/Bar 4/u);
  });
});
