import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const { at } = visits();

describe('order in the library', () => {
  it('collects, tags and marks three phrases in one go, puts them in order and makes a lesson', async () => {
    const page = await at('');
    for (const title of ['First Ferry Out', 'Third Rung', 'Tin Roof Walk']) {
      await page.getByRole('checkbox', { name: title }).first().check();
    }
    await page.getByRole('button', { name: 'Put in order …' }).click();
    await page.getByLabel('Put into the collection').selectOption('a new one …');
    await page.getByLabel('Its title').fill('Week 3: thirds');
    await page.getByLabel('Add tags').fill('week three');
    await page.getByRole('button', { name: 'Today' }).click();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Do it' }).click();
    await page.getByText('3 phrases put into “Week 3: thirds”; 3 phrases changed').waitFor();

    const find = page.getByRole('combobox', { name: 'Find' });
    await find.fill('in:"week 3" tag:"week three" idle:0');
    await page.getByText('3 of 33 phrases').waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('0 of 33 phrases').waitFor();
    await find.fill('used:never');
    await page.getByText('33 of 33 phrases').waitFor();
    await find.fill('');

    await page.getByRole('button', { name: 'Put in order …' }).click();
    await page.getByLabel('Put into the collection').selectOption('a new one …');
    await page.getByLabel('Its title').fill('Week 3');
    await page.getByRole('button', { name: 'Do it' }).click();
    await page.getByText('3 phrases put into “Week 3”').waitFor();
    await page.getByRole('link', { name: 'Collections' }).click();
    await page.getByRole('link', { name: 'Week 3', exact: true }).click();
    const titles = () => page.locator('.ordered-what a').allTextContents();
    await page.getByRole('button', { name: /^Move Tin Roof Walk/u }).press('ArrowUp');
    await expect.poll(titles).toEqual(['First Ferry Out', 'Tin Roof Walk', 'Third Rung']);
    // By the pointer: the last row before the first.
    const handles = page.getByRole('button', { name: /^Move/u });
    const [first, last] = [await handles.first().boundingBox(), await handles.last().boundingBox()];
    await page.mouse.move(last!.x + 9, last!.y + 9);
    await page.mouse.down();
    await page.mouse.move(first!.x + 9, first!.y + 9, { steps: 3 });
    await page.mouse.up();
    const wished = ['Third Rung', 'First Ferry Out', 'Tin Roof Walk'];
    await expect.poll(titles).toEqual(wished);
    await page.getByText('Saved.').waitFor();
    await expectAccessible(page);
    await page.reload();
    await expect.poll(titles).toEqual(wished);
    await page.getByRole('button', { name: 'Make a lesson' }).click();
    await page.getByRole('heading', { level: 1, name: 'Week 3' }).waitFor();
  });
});
