import type { Browser, Page } from 'playwright';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { expectAccessible, launchBrowser, type Visit, visit } from './browser';

/** What goes to the loudspeaker is looked at by an analyser that the page does not know of. */
function tap() {
  const connect = AudioNode.prototype.connect as (this: AudioNode, to: AudioNode) => AudioNode;
  AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
    if (to instanceof AudioDestinationNode) {
      const analyser = new AnalyserNode(this.context, { fftSize: 2048 });
      connect.call(this, analyser);
      Object.assign(window, { loudness: analyser });
    }
    return connect.call(this, to);
  } as typeof AudioNode.prototype.connect;
}

/** Loudest sample of the last 46 ms; -1 before anything was set up. */
const loudness = (page: Page) =>
  page.evaluate(() => {
    const { loudness: analyser } = window as unknown as { loudness?: AnalyserNode };
    if (analyser === undefined) return -1;
    const samples = new Float32Array(analyser.fftSize);
    analyser.getFloatTimeDomainData(samples);
    return samples.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  });

describe('listening to a phrase', () => {
  let browser: Browser;
  let at: Visit;
  beforeAll(async () => {
    browser = await launchBrowser();
    at = await visit(browser, inject('appAddress'));
    await at.context.addInitScript(tap);
    await at.page.reload();
    await at.page.getByRole('link', { name: 'First Ferry Out' }).first().click();
    await at.page.getByRole('button', { name: 'Listen' }).waitFor();
  });
  afterAll(async () => {
    await browser.close();
  });

  it('sounds, marks what sounds in score, tablature and degrees, and stops by itself', async () => {
    const { page } = at;
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('100');
    await page.getByRole('button', { name: 'Listen' }).click();
    const marks = page.locator('.sounding span');
    await expect.poll(() => marks.count(), { timeout: 10_000 }).toBeGreaterThanOrEqual(3);
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.01);
    // Two bars are less than five seconds.
    await page.getByRole('button', { name: 'Listen' }).waitFor({ timeout: 15_000 });
    await expect.poll(() => marks.count()).toBe(0);
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
  });

  it('goes on over and over, slower from the same place, until the space bar stops it', async () => {
    const { page } = at;
    await page.getByRole('checkbox', { name: 'Over and over' }).check();
    await page.getByText('Keep the volume moderate', { exact: false }).waitFor();
    await page.locator('h1').click();
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    // Longer than the phrase lasts.
    await page.waitForTimeout(4000);
    expect(await page.getByRole('button', { name: 'Stop' }).count()).toBe(1);
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('50');
    // It may begin with a rest.
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await expectAccessible(page);
    await page.locator('h1').click();
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: 'Listen' }).waitFor();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
  });

  it('switches between before and after a move at the same spot, by one key', async () => {
    const { page } = at;
    await page.getByRole('link', { name: 'Move it over IV7' }).click();
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.locator('.lower .sounding span').first().waitFor();
    await page.keyboard.press('Alt+x');
    expect(await page.getByRole('radio', { name: 'before' }).isChecked()).toBe(true);
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Stop' }).click();
    await page.goBack();
  });

  it('is practised through the keys: counted in, redrawn with the next one, faster when it was good', async () => {
    const { page } = at;
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('200');
    await page.getByRole('button', { name: 'Practise it' }).click();
    await page.getByRole('combobox', { name: 'Played' }).first().selectOption('fourths');
    await page.getByRole('combobox', { name: 'Band' }).selectOption('shuffle');
    await page.keyboard.press('Alt+p');
    const now = page.locator('.practice-now');
    await expect.poll(() => now.textContent(), { timeout: 10_000 }).toContain('Counting in');
    await expect.poll(() => now.textContent(), { timeout: 10_000 }).toMatch(/^Round 1: A blues/u);
    expect(await now.textContent()).toContain('Next: D blues');
    // The next key stands beneath, and its notes are not marked yet.
    const scores = page.locator('.practice-score');
    expect(await scores.count()).toBe(2);
    await scores.first().locator('.sounding span').first().waitFor();
    expect(await scores.last().locator('.sounding span').count()).toBe(0);
    await expectAccessible(page);
    await expect.poll(() => now.textContent(), { timeout: 10_000 }).toMatch(/^Round 2: D blues/u);
    expect(await scores.first().textContent()).toContain('Now: D blues');
    await page.getByRole('button', { name: 'Stop practising' }).click();
    await expect.poll(() => scores.count()).toBe(0);
    await page.getByRole('combobox', { name: 'Band' }).selectOption('none');
    await page.getByRole('button', { name: 'Practise it' }).click();
  });

  it('is heard as it is written, until somebody wants it silent', async () => {
    const { page } = at;
    await page.getByRole('link', { name: 'Write in it' }).click();
    const sound = page.getByRole('checkbox', { name: 'Hear it as I write' });
    await sound.waitFor();
    const score = page.getByRole('application');
    await score.press('5');
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    await sound.uncheck();
    await score.press('7');
    await page.waitForTimeout(300);
    expect(await loudness(page)).toBeLessThan(0.001);
    // The space bar plays from the cursor on, and marks what is heard.
    await score.press(' ');
    await page.locator('.write-line .sounding span').first().waitFor();
    await score.press(' ');
    await page.getByRole('button', { name: 'Listen from here' }).waitFor();
    await sound.check();
    await score.press('Control+z');
    await score.press('Control+z');
    await page.getByRole('link', { name: 'Done' }).click();
    await page.getByRole('button', { name: 'Listen' }).waitFor();
  });

  it('is silent on another page, and complains about nothing', async () => {
    const { page, complaints } = at;
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    await page.getByRole('link', { name: 'Library' }).click();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    // A card of the library plays, and stops at a second press.
    await page.getByRole('button', { name: 'Hear First Ferry Out' }).click();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await page.getByRole('button', { name: 'Stop First Ferry Out' }).click();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    expect(complaints).toEqual([]);
  });
});
