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

  it('is silent on another page, and complains about nothing', async () => {
    const { page, complaints } = at;
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    await page.goBack();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    expect(complaints).toEqual([]);
  });
});
