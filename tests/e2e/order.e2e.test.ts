import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const DOORS = 'sample-07-two-doors-one-key';

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

  it('keeps a question, merges tags, brings back and deletes, and gives a phrase by a link', async () => {
    const page = await at('');
    const find = page.getByRole('combobox', { name: 'Find' });
    await find.fill('with:slide level:1..2');
    await page.getByRole('button', { name: 'Keep this question …' }).click();
    await page.getByLabel('Title of the question').fill('Easy slides');
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.getByText('“Easy slides” is kept.').waitFor();
    await find.fill('');
    await find.press('ArrowDown');
    await page.getByRole('option', { name: /^Easy slides/u }).click();
    await expect.poll(() => find.inputValue()).toBe('with:slide level:1..2');
    await find.fill('');

    await page.getByLabel('Show as').selectOption('lines');
    const lines = page.locator('.phrase-line a');
    await expect.poll(() => lines.count()).toBe(33);
    await lines.first().focus();
    await page.keyboard.press('ArrowDown');
    const focused = page.locator('.phrase-line a:focus');
    await expect.poll(() => focused.textContent()).toBe(await lines.nth(1).textContent());
    await expectAccessible(page);
    await page.getByLabel('Show as').selectOption('cards');

    await page.getByRole('link', { name: 'Rename and merge tags' }).click();
    await page.getByRole('checkbox', { name: 'blues', exact: true }).check();
    await page.getByRole('checkbox', { name: 'shuffle', exact: true }).check();
    await page.getByLabel('These 2 tags become').fill('blue things');
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Make them one' }).click();
    await page.getByText('“blues” and “shuffle” are now “blue things” in 8 phrases.').waitFor();
    await page.getByRole('checkbox', { name: 'blue things' }).waitFor();
    const merged = page.locator('.notice', { hasText: 'blue things' });
    await merged.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('checkbox', { name: 'shuffle', exact: true }).waitFor();

    await page.getByRole('link', { name: 'Library' }).first().click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
    for (const title of ['First Ferry Out', 'Third Rung']) {
      await page.getByRole('checkbox', { name: title }).first().check();
    }
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByText('31 phrases', { exact: true }).waitFor();
    await page.getByRole('link', { name: 'What was removed' }).click();
    await page.getByRole('button', { name: 'See Third Rung' }).click();
    await page.locator('.removed-list svg').first().waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Bring back Third Rung' }).click();
    await page.getByText('1 removed').waitFor();
    await page.getByRole('button', { name: 'Delete all of it …' }).click();
    await page.getByRole('button', { name: 'Delete for good' }).last().click();
    await page.getByText('Nothing is here.').waitFor();

    const to = (hash: string) => page.goto(page.url().replace(/#.*/u, hash));
    await to('#/phrase/sample-06-twelve-at-the-salt-loft/cut');
    await page.getByRole('combobox', { name: 'Cut' }).selectOption('behind every so many bars');
    // Emptied and filled anew.
    await page.getByLabel('Bars', { exact: true }).press('Backspace');
    await page.getByLabel('Bars', { exact: true }).pressSequentially('6');
    await page.getByRole('button', { name: 'Keep the 2 phrases' }).waitFor();
    await page.getByRole('combobox', { name: 'Cut' }).selectOption('where it rests');
    await page.getByRole('combobox', { name: 'Cut' }).selectOption('before bars I choose');
    await page.getByRole('button', { name: 'Keep the 7 phrases' }).waitFor();
    await page.getByRole('checkbox', { name: '9', exact: true }).check();
    await page.locator('.cut-parts svg').first().waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Keep the 8 phrases' }).click();
    await page.getByText('40 phrases', { exact: true }).waitFor();

    await to(`#/phrase/${DOORS}`);
    await page.getByRole('button', { name: 'Give it as a link' }).click();
    await page.getByRole('img', { name: /^QR code/u }).waitFor();
    await expectAccessible(page);
    const link = await page.getByLabel(/^Link/u).inputValue();
    const other = await at(link.slice(link.indexOf('#')));
    await other.getByRole('heading', { name: 'Two Doors, One Key' }).waitFor();
    await expectAccessible(other);
    await other.getByRole('button', { name: 'Keep it in my library' }).click();
    // Its tags were changed and changed back: it is not the sample that is here.
    await other.getByText('is kept beside the one you have').waitFor();
    await expect.poll(() => other.url()).toContain('#/phrase/');
    await other.evaluate(
      (hash) => {
        window.location.hash = hash;
      },
      link.slice(link.indexOf('#'), -9),
    );
    await other.getByText('the link was cut off or damaged').waitFor();
  });
});
