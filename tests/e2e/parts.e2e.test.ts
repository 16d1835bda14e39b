import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const app = visits();

const emptyPage = (width: number) => app.emptyBar({ viewport: { width, height: 900 } });

const unfold = (page: Page, title: string) =>
  page.locator('.part > summary', { hasText: title }).click();

/** What the score says to whoever listens. */
const heard = (page: Page) => page.locator('.write-score');

/** A page is never wider than its window. */
const overflow = (page: Page) =>
  page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);

const TAB = [
  'e|-----------------|',
  'B|---------5---8---|',
  'G|-5---7-----------|',
  'D|-----------------|',
  'A|-----------------|',
  'E|-----------------|',
].join('\n');

describe('the chords as symbols and numerals', () => {
  it('says what is wrong while typing, keeps it, and writes what is right', async () => {
    const page = await emptyPage(390);
    await unfold(page, 'Chords');
    await page.getByRole('button', { name: 'Add a chord on beat 3 of bar 1' }).click();
    const cell = page.getByRole('group', { name: 'Bar 1, beat 3', exact: true });
    const symbol = cell.getByLabel('Symbol');
    const numeral = cell.getByLabel('Numeral');
    await expect.poll(() => symbol.evaluate((e) => e === document.activeElement)).toBe(true);
    await page.keyboard.type('H13');
    expect(await symbol.getAttribute('aria-invalid')).toBe('true');
    const why = await symbol.getAttribute('aria-describedby');
    const reason = cell.getByRole('status');
    expect(await reason.getAttribute('id')).toBe(why);
    expect(await reason.textContent()).toMatch(/^Not a chord yet: .+\.$/u);
    await expectAccessible(page);
    // Left as it is, it is still there, and not in the phrase.
    await page.keyboard.press('Tab');
    expect(await symbol.inputValue()).toBe('H13');
    expect(await heard(page).locator('svg', { hasText: 'H13' }).count()).toBe(0);
    await symbol.fill('F7');
    expect(await symbol.getAttribute('aria-invalid')).toBe('false');
    // In C major F is the fourth degree (common practice).
    expect(await numeral.inputValue()).toBe('IV7');
    await page.keyboard.press('Enter');
    await heard(page).getByText('F7', { exact: true }).first().waitFor({ state: 'attached' });
    // Enter keeps it and goes on, and leaving the field does not try to write it once more.
    expect(await page.locator('.where-line').textContent()).toContain('F7 from here.');
    await numeral.fill('bVIImaj7');
    expect(await symbol.inputValue()).toBe('Bbmaj7');
    await numeral.press('Escape');
    await expect
      .poll(() => page.getByRole('application').evaluate((e) => e === document.activeElement))
      .toBe(true);
    expect(await symbol.inputValue()).toBe('Bbmaj7');
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    await cell.getByRole('button', { name: /^Take out the chord/u }).click();
    await cell.waitFor({ state: 'detached' });
    await page.getByLabel('All chords in one line').fill('ii7');
    await page.keyboard.press('Enter');
    const first = page.getByRole('group', { name: 'Bar 1, beat 1', exact: true });
    await expect.poll(() => first.getByLabel('Symbol').inputValue()).toBe('Dm7');
    await page.getByRole('button', { name: 'Add a chord on beat 3 of bar 1' }).click();
    await page.keyboard.press('Tab');
    await page.keyboard.type('V7');
    await page.keyboard.press('Enter');
    // Enter goes on to the next chord.
    await first.getByLabel('Symbol').focus();
    await page.keyboard.press('Enter');
    await expect
      .poll(() => cell.getByLabel('Symbol').evaluate((e) => e === document.activeElement))
      .toBe(true);
    expect(await cell.getByLabel('Symbol').inputValue()).toBe('G7');
    const line = page.getByLabel('All chords in one line');
    expect(await line.inputValue()).toBe('Dm7 G7 |');
    await line.fill('Dm7 G7 | C');
    expect(await line.getAttribute('aria-invalid')).toBe('true');
    await line.fill('iv G7 |');
    await page.keyboard.press('Enter');
    await expect.poll(() => first.getByLabel('Numeral').inputValue()).toBe('iv');
    expect(await line.inputValue()).toBe('Fm G7 |');
    await expectAccessible(page);
  });
});

describe('the phrase as text', () => {
  it('shows a mistake at its character, engraves plain tablature and takes it over', async () => {
    const page = await emptyPage(1280);
    await unfold(page, 'As text');
    const text = page.getByLabel('The phrase as text');
    await text.fill('q 3:5 7 ?? 8');
    const caret = page.locator('.quick-mistakes pre').first();
    await caret.waitFor();
    expect(await caret.textContent()).toBe('q 3:5 7 ?? 8\n        ^');
    expect(await text.getAttribute('aria-invalid')).toBe('true');
    const take = page.getByRole('button', { name: 'Put it in the place of this phrase' });
    expect(await take.getAttribute('aria-disabled')).toBe('true');
    await take.press('Enter');
    await page.getByText('Not done: there is a mistake in the text.').waitFor();
    await text.fill(TAB);
    await page.locator('.quick-score svg').first().waitFor();
    await page.getByText('4 lengths were guessed from the spacing.').waitFor();
    await page.getByText('Signs of quick text', { exact: true }).click();
    await expectAccessible(page);
    await page.getByText('Signs of quick text', { exact: true }).click();
    await take.click();
    await expect.poll(() => text.inputValue()).toContain('q 3:5!? 7!? 2:5!? 8!?');
    await expect.poll(() => page.locator('.write-guessed').count()).toBe(4);
    // One step back, and the page is as empty as it was.
    await page.keyboard.press('Control+z');
    await expect.poll(() => page.locator('.write-guessed').count()).toBe(0);
    await text.fill('e 4:7 4:5');
    await page.getByRole('button', { name: 'Put it in at the cursor' }).click();
    await expect.poll(() => text.inputValue()).toMatch(/4:7 5/u);
    await page.setViewportSize({ width: 390, height: 900 });
    // A frame after its width changed the score is drawn anew; until then the old one stands there.
    await expect.poll(() => overflow(page)).toBeLessThanOrEqual(0);
  });
});

describe('metre, key, tempo and instrument', () => {
  it('what follows is shown before it is done, and nothing changes until then', async () => {
    const page = await emptyPage(390);
    for (const key of ['q', '5', 'Enter', '7', 'Enter', '8', 'Enter', '5']) {
      await page.keyboard.press(key);
    }
    await unfold(page, 'Metre, key, tempo and instrument');
    await page.getByRole('button', { name: 'Change metre, now 4/4 in bar 1' }).click();
    const dialog = page.getByRole('dialog', { name: 'Metre' });
    const field = dialog.getByLabel('From this bar on, count in');
    await expect.poll(() => field.evaluate((e) => e === document.activeElement)).toBe(true);
    await field.selectOption('4/4');
    await dialog.getByText('Not so: it is counted in 4/4 already.').waitFor();
    await expectAccessible(page);
    await field.selectOption('7/8');
    await dialog.getByText('2 bars instead of 1.').waitFor();
    // The fourth quarter begins half a quarter before the new bar line.
    await dialog.getByText('1 note holds over a bar line and gets a tie.').waitFor();
    await dialog.locator('.frame-after svg').first().waitFor();
    await expectAccessible(page);
    expect(await overflow(page)).toBe(0);
    await dialog.getByRole('button', { name: 'Leave it' }).click();
    await page.getByRole('button', { name: 'Change metre, now 4/4 in bar 1' }).waitFor();

    // From the list of what can be done the same is asked, with the value that was chosen there.
    await page.keyboard.press('Control+.');
    await page.getByRole('combobox', { name: 'Say what you want to do' }).fill('count in 7/8');
    await page.keyboard.press('Enter');
    expect(await field.inputValue()).toBe('7/8');
    await dialog.getByText('2 bars instead of 1.').waitFor();
    await dialog.getByRole('button', { name: 'Change it' }).click();
    await page.getByRole('button', { name: 'Change metre, now 7/8 in bar 1' }).waitFor();

    await page.getByRole('button', { name: 'Change capo, now none' }).click();
    const capo = page.getByRole('dialog', { name: 'Capo' });
    // The shapes stay, so that key and chords can move along: that is offered first.
    const ways = capo.getByRole('radio');
    expect(await ways.first().isChecked()).toBe(true);
    await capo.getByText('The frets stay, key and chords move along').waitFor();
    await capo.getByLabel(/^Put the capo/u).fill('13');
    await capo.getByText('Not so: the capo must be a whole number from 0 to 12.').waitFor();
    await capo.getByLabel(/^Put the capo/u).fill('2');
    await capo.getByText('The key is D major instead of C major.').waitFor();
    await capo.getByText('4 notes sound 2 semitones higher.').waitFor();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Change capo, now at fret 2' }).waitFor();
    await expectAccessible(page);
  });
});
