import { describe, expect, it } from 'vitest';
import { storedPhrases } from './stored';
import { visits } from './visits';

const app = visits();

describe('two windows that write in one phrase at the same time', () => {
  it('end with one second version, in which the other window goes on', async () => {
    const one = await app.emptyBar();
    await one.keyboard.press('5');
    await one.getByText('Saved.', { exact: true }).waitFor();
    const two = await app.another();
    await two.goto(one.url());
    await two.getByRole('application').waitFor();
    await two.locator('.write-score svg').first().waitFor();
    const before = (await storedPhrases(one)).length;
    for (let n = 0; n < 15; n++) {
      await Promise.all([
        one.keyboard.press(String(n % 10)),
        two.keyboard.press(String(9 - (n % 10))),
      ]);
      await Promise.all([one.keyboard.press('ArrowRight'), two.keyboard.press('ArrowRight')]);
    }
    await expect
      .poll(async () => (await storedPhrases(one)).length - before, { timeout: 20_000 })
      .toBeLessThanOrEqual(1);
    await one.waitForTimeout(3_000);
    const phrases = await storedPhrases(one);
    const versions = phrases.filter((p) => p.meta.title.includes('second version'));
    console.info(`${versions.length} second versions`);
    expect(versions.length).toBeLessThanOrEqual(1);
    if (versions.length === 1) {
      expect([one.url(), two.url()].filter((u) => u.includes(versions[0]!.id))).toHaveLength(1);
    }
  });
});
