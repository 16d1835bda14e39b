import type { Locator, Page } from 'playwright';
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
    // Over I, IV and V of the key instead of the lane; all that lies there, on chosen strings.
    await page.getByRole('combobox', { name: /^Over/u }).selectOption({ label: 'I, IV and V' });
    const three = page.getByRole('list', { name: 'Over I, IV and V' });
    expect(await three.getByRole('strong').allTextContents()).toEqual(['C', 'F', 'G']);
    await page.getByText('The whole set over each of them, around fret 5').click();
    await page.getByRole('combobox', { name: /^On strings/u }).selectOption({ label: '3, 2, 1' });
    await page.getByText(/^\d+ shapes? of C on strings 3, 2, 1 around fret 5/u).waitFor();
    const all = page.getByRole('region', { name: 'All of F' });
    expect(await all.getByText(/Strings 3, 2 and 1, frets/u).count()).toBeGreaterThan(0);
    expect(await all.getByText(/Strings 4/u).count()).toBe(0);
    // Into a bar, in the place of what is there.
    const before = await notes(page).textContent();
    await page
      .getByRole('combobox', { name: /^Where/u })
      .selectOption({ label: 'bar 3, in the place of its beginning' });
    await page.getByRole('button', { name: 'Put it into bar 3' }).click();
    await expect.poll(() => notes(page).textContent()).not.toBe(before);
    await page.getByRole('button', { name: 'Undo the shape' }).click();
    await expect.poll(() => notes(page).textContent()).toBe(before);
    // The same goes on paper.
    await page.getByRole('link', { name: 'Print it' }).click();
    const sheet = page.locator('.sheet');
    await sheet.getByRole('region', { name: 'All of G' }).locator('svg').first().waitFor();
    expect(await page.getByRole('checkbox', { name: 'The neck' }).isChecked()).toBe(true);
    await expectAccessible(page);
  });

  it('is played on by finger: tapped, dragged, made easier and heard, kept as a child', async () => {
    const viewport = { width: 390, height: 844 };
    const page = await at('#/phrase/sample-19-milk-cart-bends?neck=phrase', {
      viewport,
      hasTouch: true,
    });
    const low = place(page, /^string 4, fret 10:/u);
    await low.scrollIntoViewIfNeeded();
    await low.tap();
    await expect.poll(() => low.getAttribute('aria-pressed')).toBe('true');
    // A finger drags the note to the other string; the page does not scroll under it.
    const before = await notes(page).textContent();
    const goal = place(page, /^string 3, fret 5:/u);
    // Both are in sight when the neck is pushed along.
    const [off] = await middleOf(goal);
    await page.locator('.neck-room').evaluate((room, by) => {
      room.scrollLeft += by;
    }, off - 80);
    const [from, to] = [await middleOf(low), await middleOf(goal)];
    const scrolled = await page.evaluate(() => window.scrollY);
    await drag(page, from, to);
    await expect.poll(() => notes(page).textContent()).not.toContain('string 4, fret 10');
    expect(await page.evaluate(() => window.scrollY)).toBe(scrolled);
    await page.getByRole('button', { name: 'Undo the place on the neck' }).click();
    await expect.poll(() => notes(page).textContent()).toBe(before);
    // What is hard, and what would be easier.
    await page.evaluate(() => {
      window.location.hash = '#/phrase/sample-23-gull-over-the-mast';
    });
    await page.getByRole('heading', { level: 1, name: 'Gull over the Mast' }).waitFor();
    // The page grows while its music comes, and a tap may hit what has moved there.
    const ways = page.locator('details.easier-ways');
    const isOpen = () => ways.evaluate((d: HTMLDetailsElement) => d.open);
    await expect
      .poll(async () => {
        if (!(await isOpen())) await page.getByText('What is hard, and easier ways').tap();
        return isOpen();
      })
      .toBe(true);
    await page.getByText(/^\d hard spots, the hardest first; \d+ easier ways in all\.$/u).waitFor();
    const slide = page.getByRole('listitem').filter({ hasText: 'Slide up to F♯ from E' });
    await slide.getByText('Every pitch and role stays.').waitFor();
    await slide.getByText(/^Effort [\d.]+ to [\d.]+, step 5 to 4\.$/u).waitFor();
    await slide.getByRole('button', { name: /^Hear it/u }).tap();
    await slide.getByRole('button', { name: /^Stop/u }).tap();
    await expectAccessible(page);
    await slide.getByRole('button', { name: /^Play it so/u }).tap();
    await page.getByText('“Gull over the Mast” is played the easier way now.').waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).tap();
    const narrow = page.getByRole('listitem').filter({ hasText: 'Bend a semitone to F♯' });
    await narrow.getByText('F♯ is reached from F.').waitFor();
    await narrow.getByRole('button', { name: /^Keep as a new phrase/u }).tap();
    const kept = 'Gull over the Mast, easier in bar 3';
    await page.getByRole('heading', { level: 1, name: kept }).waitFor();
    await page.getByRole('link', { name: 'Gull over the Mast', exact: true }).waitFor();
  });
});

async function middleOf(of: Locator): Promise<readonly [number, number]> {
  const box = (await of.boundingBox())!;
  return [box.x + box.width / 2, box.y + box.height / 2];
}

/** One finger from one point to another, as the browser has it from a screen. */
async function drag(
  page: Page,
  from: readonly [number, number],
  to: readonly [number, number],
): Promise<void> {
  const screen = await page.context().newCDPSession(page);
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', at?: readonly [number, number]) =>
    screen.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: at === undefined ? [] : [{ x: at[0], y: at[1] }],
    });
  await touch('touchStart', from);
  for (const part of [0.1, 0.4, 0.7, 1]) {
    await touch('touchMove', [
      from[0] + (to[0] - from[0]) * part,
      from[1] + (to[1] - from[1]) * part,
    ]);
  }
  await touch('touchEnd');
}
