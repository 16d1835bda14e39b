import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { decodeLibrary } from '../../src/io/library/decode';
import { expectAccessible } from './browser';
import { visits } from './visits';

const { at } = visits();

describe('a practice plan', () => {
  it('is made from a lesson, practised, left and taken up, its log saved and joined in another library', async () => {
    const page = await at('');
    for (const title of ['First Ferry Out', 'Third Rung']) {
      await page.getByRole('checkbox', { name: title }).first().check();
    }
    await page.getByRole('button', { name: 'Make a lesson' }).click();
    await page.getByRole('button', { name: 'Practise this' }).click();
    await page.getByRole('heading', { level: 1, name: /^Practice: / }).waitFor();
    await page.getByText('60 % (quarter =').waitFor();
    await page.locator('.turn svg.dw-score').first().waitFor();
    await page.getByText('Stop when it hurts').first().waitFor();
    await expectAccessible(page);

    // It is heard, at its tempo.
    expect(await page.getByLabel('Speed').inputValue()).toBe('60');
    await page.getByRole('button', { name: 'Round and round' }).click();
    await page.locator('.sounding span').first().waitFor();
    // Everything about practising is there too, and stays open for the next item.
    await page.getByRole('button', { name: 'How it is practised' }).click();
    const panel = page.getByRole('region', { name: 'Practice' });
    await panel.getByRole('combobox', { name: 'Counts in' }).selectOption('no bar');
    await panel.getByRole('button', { name: 'Stop practising' }).click();
    await page.getByRole('combobox', { name: 'Band' }).selectOption('shuffle');
    await panel.getByRole('group', { name: 'Band' }).waitFor();
    await expectAccessible(page);

    const name = () => page.locator('#turn-name').textContent();
    const first = await name();
    await page.getByRole('button', { name: /^It sits/u }).click();
    await page.getByText(`${first}, 60 %: it sits.`).waitFor();
    const second = await name();
    expect(second).not.toBe(first);
    await panel.waitFor();
    // The focus goes with the turn, whatever brings the next one.
    const focus = () => expect.poll(() => page.evaluate(() => document.activeElement?.id));
    await focus().toBe('turn-name');
    // By the key as well; one turn is taken back again.
    await page.keyboard.press('Alt+J');
    await page.getByText(`${second}, 60 %: not yet.`).waitFor();
    await page.getByRole('button', { name: 'Take it back' }).click();
    await page.getByText('1 turn on 1 day').waitFor();
    expect(await name()).toBe(second);
    await focus().toBe('turn-name');
    await page.getByRole('button', { name: new RegExp(`^Take it now.*${first}`, 'u') }).click();
    await expect.poll(name).toBe(first);
    await focus().toBe('turn-name');
    await page.goBack();
    await expect.poll(name).toBe(second);

    // It outlives the window, and goes on where it was.
    await page.reload();
    await page.getByText('1 turn on 1 day').click();
    await page.getByRole('cell', { name: 'It sits' }).waitFor();
    expect(await name()).toBe(second);
    await page.getByText('Student, time, tempos and keys').click();
    await page.getByRole('textbox', { name: 'Student' }).fill('Wren');
    await page.getByText('Saved.').waitFor();
    await expectAccessible(page);

    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save lesson, plan and log' }).click();
    const file = await (await saving).path();
    const saved = decodeLibrary(readFileSync(file, 'utf8'));
    expect(saved.ok && saved.value.others?.map((o) => o.format)).toEqual([
      'degreewise-lesson',
      'degreewise-plan',
      'degreewise-turn',
    ]);

    const other = await at('');
    const choosing = other.waitForEvent('filechooser');
    await other.getByRole('button', { name: 'Bring phrases in' }).click();
    const text = readFileSync(file);
    await (await choosing).setFiles({
      name: 'practice.json',
      mimeType: 'application/json',
      buffer: text,
    });
    await other
      .getByText(/1 practice plan/u)
      .first()
      .waitFor();
    await other.goto(`${other.url().split('#')[0]}#/lessons`);
    await other.getByRole('link', { name: /Wren/u }).click();
    await other.getByText('1 turn on 1 day').waitFor();
    expect(await other.locator('#turn-name').textContent()).toBe(second);

    // Removed, it takes its log along, and both come back; the focus goes on to what is left.
    await other.goBack();
    await other.getByRole('button', { name: /^Remove the plan of/u }).click();
    await other.getByText(/^The plan of .* was removed with its log of 1 turn\.$/u).waitFor();
    await expect.poll(() => other.evaluate(() => document.activeElement?.id)).toBe('plans');
    await other.getByRole('button', { name: 'Undo', exact: true }).last().click();
    await other.getByRole('link', { name: /Wren/u }).click();
    await other.getByText('1 turn on 1 day').waitFor();
  });
});
