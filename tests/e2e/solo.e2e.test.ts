import type { Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const { at } = visits();

const bar = (page: Page, n: number) => page.locator(`[data-bar="${n}"]`);
const laid = (page: Page) =>
  page.locator('.form-bars button').evaluateAll((all) => all.map((b) => b.textContent));
const settled = (page: Page) =>
  page
    .getByRole('status')
    .filter({ hasText: /phrases? laid over the form/u })
    .waitFor();

describe('a solo over a form', () => {
  it('is proposed, exchanged in place, pinned, put together by keys, undone and kept', async () => {
    const page = await at('#/solo?form=blues&key=A');
    await settled(page);
    const first = await laid(page);
    expect(first.length).toBe(12);

    // Keys go from bar to bar; the next best comes in place and all else stays.
    await bar(page, 1).focus();
    await page.keyboard.press('ArrowDown');
    await expect.poll(() => bar(page, 5).getAttribute('aria-pressed')).toBe('true');
    await page.getByLabel('Play each exchange at once').uncheck();
    const exchange = page.getByRole('button', { name: 'Exchange for the next best' });
    await expect.poll(() => exchange.isEnabled()).toBe(true);
    await exchange.click();
    await expect.poll(async () => (await laid(page))[4]).not.toBe(first[4]);
    await settled(page);
    // Who goes by keys goes on from there, though the button had nothing to do for a moment.
    expect(await exchange.evaluate((b) => b === document.activeElement)).toBe(true);
    const second = await laid(page);
    expect(second.slice(0, 3)).toEqual(first.slice(0, 3));
    expect(second.slice(8)).toEqual(first.slice(8));
    // It was chosen by hand: it stays through another chorus, and can be exchanged again.
    expect(second[4]).toMatch(/pinned$/u);
    await page.getByRole('button', { name: 'Another chorus' }).click();
    await settled(page);
    expect((await laid(page))[4]).toBe(second[4]);
    await expect.poll(() => exchange.isEnabled()).toBe(true);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await settled(page);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await expect.poll(() => laid(page)).toEqual(first);

    // A phrase put onto a bar stays there through another chorus.
    await page.getByLabel('Title or tag').fill('Third Rung');
    await page.getByRole('button', { name: /^Put .*Third Rung here/u }).click();
    await expect.poll(async () => (await laid(page))[4]).toMatch(/Third Rung, pinned$/u);
    await settled(page);
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Another chorus' }).click();
    await settled(page);
    expect((await laid(page))[4]).toMatch(/Third Rung, pinned$/u);

    // By the mouse it goes from bar to bar; the one under it is marked.
    await bar(page, 5).hover();
    await page.mouse.down();
    await bar(page, 9).hover();
    await bar(page, 9).hover();
    await expect.poll(() => page.locator('.bar-target').getAttribute('data-bar')).toBe('9');
    await page.mouse.up();
    await expect.poll(async () => (await laid(page))[8]).toMatch(/Third Rung, pinned$/u);
    expect(await page.locator('.bar-target').count()).toBe(0);
    await settled(page);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await settled(page);
    await expect.poll(async () => (await laid(page))[4]).toMatch(/Third Rung, pinned$/u);
    await bar(page, 5).click();

    // Several beside each other: one is heard until Escape, one is taken, and given back.
    await page.getByLabel('How many to choose from').selectOption('2');
    await page.getByRole('button', { name: 'Propose 2 to choose from' }).click();
    const several = page.getByRole('region', { name: 'Choruses to choose from' });
    await several.getByText('2 choruses. What is pinned stands in each.').waitFor();
    const drawn = await laid(page);
    const best = several.getByRole('listitem', { name: /^Chorus 1/u });
    await best.getByRole('button', { name: /^Hear it/u }).click();
    await best.getByRole('button', { name: /^Stop/u }).waitFor();
    await page.keyboard.press('Escape');
    await best.getByRole('button', { name: /^Hear it/u }).waitFor();
    await best.getByRole('button', { name: /^Take it/u }).click();
    await best.getByRole('button', { name: /^Taken/u }).waitFor();
    await settled(page);
    expect((await laid(page))[4]).toMatch(/Third Rung, pinned$/u);
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await expect.poll(() => laid(page)).toEqual(drawn);
    await several.getByRole('button', { name: 'Put them away' }).click();

    // One in another metre is refused: what lies there stays, is not pinned, and can be exchanged.
    await bar(page, 9).click();
    await page.getByLabel('Title or tag').fill('Tin Roof Walk');
    await page.getByRole('button', { name: /^Put .*Tin Roof Walk here/u }).click();
    await page
      .getByRole('alert')
      .filter({ hasText: 'it is in 12/8 and the form in 4/4' })
      .waitFor();
    // It is seen beside the button that was pressed, far beneath the bars.
    const said = page.locator('.solo-page > .problem');
    await page.getByRole('button', { name: /^Put .*Tin Roof Walk here/u }).scrollIntoViewIfNeeded();
    await page.evaluate(() => window.scrollBy(0, 300));
    expect(await said.evaluate((e) => e.getBoundingClientRect().top)).toBeGreaterThanOrEqual(0);
    expect((await laid(page))[8]).not.toMatch(/pinned$/u);
    await expect.poll(() => exchange.isEnabled()).toBe(true);
    await page.getByRole('button', { name: 'Undo' }).first().click();
    await settled(page);
    await bar(page, 5).click();

    // A bar is kept empty; the address brings all of it back.
    await page.getByRole('button', { name: 'Take it away' }).click();
    await expect.poll(async () => (await laid(page))[4]).toMatch(/empty$/u);
    await settled(page);
    const put = await laid(page);
    await page.reload();
    await settled(page);
    expect(await laid(page)).toEqual(put);
    await page.getByRole('button', { name: 'Put it into the lesson' }).click();
    await page.getByRole('button', { name: 'Go to the lesson' }).click();
    await page.getByRole('heading', { name: /^Solo/u, level: 2 }).first().waitFor();
    await page.getByRole('combobox', { name: 'What' }).selectOption('exercise: answer it');
    await page
      .getByRole('combobox', { name: 'Of', exact: true })
      .selectOption('another phrase of the library …');
    const library = page.getByRole('combobox', { name: 'From the library' });
    await library.focus();
    await library.selectOption('Third Rung');
    await page.getByRole('button', { name: 'Add it' }).click();
    const third = page.getByRole('region', { name: /^3: /u });
    await third.getByRole('button', { name: /^Hear /u }).click();
    await third.getByRole('button', { name: /^Stop /u }).click();
    await third.getByRole('button', { name: /^Hear /u }).waitFor();
    await expectAccessible(page);
    await page.goBack();
    await settled(page);
    // Comping beneath it, from the strokes of a rhythm of the library.
    const comping = page.getByRole('region', { name: 'Comping beneath the solo' });
    const rhythm = comping.getByRole('combobox', { name: 'Rhythm' });
    const band = page.getByRole('combobox', { name: 'Band' });
    expect(await band.inputValue()).toBe('none');
    await rhythm.focus();
    await rhythm.selectOption('Low Tide Charleston');
    await comping
      .getByRole('status')
      .filter({ hasText: /^Grips of the chords/u })
      .waitFor();
    // On the lines of the solo, or apart beneath it.
    const joined = page.locator('svg.dw-score', { hasText: 'Comping' }).first();
    await joined.waitFor();
    expect(await comping.locator('svg.dw-score').count()).toBe(0);
    await comping.getByRole('checkbox', { name: 'On the lines of the solo' }).uncheck();
    await comping.locator('svg.dw-score').first().waitFor();
    expect(await joined.count()).toBe(0);
    await comping.getByRole('checkbox', { name: 'On the lines of the solo' }).check();
    await joined.waitFor();
    await expect.poll(() => band.inputValue()).not.toBe('none');
    await expectAccessible(page);
    // A band that was sent away stays away; what is shown comes back as it was.
    await band.selectOption('none');
    const show = page.getByRole('combobox', { name: 'Show' });
    await show.selectOption('tab');
    await show.selectOption('both');
    await expect.poll(() => show.inputValue()).toBe('both');
    expect(await band.inputValue()).toBe('none');
    await comping.getByText('Choose a band to hear them.').waitFor();
    // Keys begin at the format that was chosen last.
    await comping.getByRole('button', { name: 'Export both …' }).press('Enter');
    await page.getByRole('radio', { name: /^MusicXML for/u }).waitFor();
    await page.keyboard.press('ArrowDown');
    expect(
      await page.getByRole('radio', { name: /^MusicXML, packed/u, checked: true }).count(),
    ).toBe(1);
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Keep the comping as a phrase' }).click();
    await page.getByRole('heading', { level: 1, name: /^Comping for Solo over/u }).waitFor();
    await page.goBack();
    await settled(page);
    // It is there again; without it the band that came with it goes.
    await expect.poll(() => band.inputValue()).not.toBe('none');
    await rhythm.selectOption('none');
    await expect.poll(() => band.inputValue()).toBe('none');

    await page.getByRole('button', { name: 'Keep it as a phrase' }).click();
    await page.getByRole('heading', { level: 1, name: /^Solo over twelve-bar blues/u }).waitFor();

    // The solo knows what it is made of; what is changed in a part can go into its source as well.
    const made = page.getByRole('region', { name: 'What it is made of' });
    await made.getByText('As it was laid there.').first().waitFor();
    const parts = await made.getByRole('listitem').allTextContents();
    expect(parts.some((t) => /^Bars? .* from Third Rung\./u.test(t))).toBe(false);
    await page.getByRole('link', { name: 'Write in it' }).click();
    await page.locator('.write-score svg').first().waitFor();
    await page.keyboard.press('Control+a');
    await page.keyboard.press('A');
    const changed = page.getByRole('region', { name: 'Changed in a part' });
    const source = (await changed.getByRole('link').first().textContent()) ?? '';
    await changed
      .getByText(/^Changed here since/u)
      .first()
      .click();
    await changed
      .getByText(/another length, sign or place of/u)
      .first()
      .waitFor();
    await expectAccessible(page);
    const as = changed.getByRole('button', { name: `Change “${source}” as well` });
    await as.click();
    await page.getByText(`“${source}” was changed as well.`).waitFor();
    await expect.poll(() => as.isVisible()).toBe(false);
    await page.getByRole('button', { name: 'Undo', exact: true }).last().click();
    await page.getByText(`“${source}” is as it was before.`).waitFor();
    await as.waitFor();
    await changed.getByRole('button', { name: /^Let all \d+ parts go their own way/u }).click();
    await page.getByRole('link', { name: 'Done' }).click();
    await made.getByText('It goes its own way.').last().waitFor();
  });

  it('lets each exchange be heard from the bar before, also while the one before it sounds', async () => {
    const page = await at('#/solo?form=blues&key=A');
    await settled(page);
    await bar(page, 5).click();
    const exchange = page.getByRole('button', { name: 'Exchange for the next best' });
    const ready = () =>
      expect.poll(() => exchange.getAttribute('aria-disabled'), { timeout: 10_000 }).toBe('false');
    /** Where in the music it sounds, in hundredths of a line; null where no note does. */
    const place = () =>
      page.evaluate(() => {
        const mark = document.querySelector<HTMLElement>('.sounding span');
        const line = mark?.parentElement?.parentElement;
        if (mark == null || line?.parentElement == null) return null;
        return 100 * [...line.parentElement.children].indexOf(line) + parseFloat(mark.style.left);
      });
    const comesTo = (fits: (at: number) => boolean) =>
      expect.poll(async () => fits((await place()) ?? Number.NaN), { timeout: 15_000 }).toBe(true);
    await ready();
    await exchange.click();
    await comesTo((at) => at > 0);
    const begun = (await place())!;
    await comesTo((at) => at > begun + 30);
    await ready();
    await exchange.click();
    await comesTo((at) => at < begun + 15);
  });

  it('takes a phrase by a finger that rests on it, and else lets the finger move the page', async () => {
    const page = await at('#/solo?form=blues&key=A', {
      ...{ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 } },
    });
    await settled(page);
    // Each thing to press is as large as a finger needs it.
    const small = await page.evaluate(() =>
      [...document.querySelectorAll('main button, main select, main input, main summary, main a')]
        .map((e) => ({ e, box: (e.closest('label') ?? e).getBoundingClientRect() }))
        .filter(({ box }) => box.width > 0 && (box.height < 43.9 || box.width < 43.9))
        .map(({ e, box }) => `${e.textContent} ${box.width}×${box.height}`),
    );
    expect(small).toEqual([]);
    const cdp = await page.context().newCDPSession(page);
    const touch = (
      type: 'touchStart' | 'touchMove' | 'touchEnd',
      ...points: (readonly [number, number])[]
    ) =>
      cdp.send('Input.dispatchTouchEvent', {
        type,
        touchPoints: points.map(([x, y], id) => ({ x, y, id })),
      });
    const middle = async (of: Locator): Promise<readonly [number, number]> => {
      const { x, y, width, height } = (await of.boundingBox())!;
      return [x + width / 3, y + height / 2];
    };
    const scrolled = () => page.evaluate(() => window.scrollY);
    const inHand = page.locator('.in-hand');
    const onto = page.locator('.bar-target');
    const pickUp = async (from: readonly [number, number]) => {
      await touch('touchStart', from);
      await inHand.waitFor();
    };
    await page.getByLabel('Title or tag').fill('Third Rung');
    const shelf = page.locator('.phrase-shelf li').first();
    await shelf.scrollIntoViewIfNeeded();

    // A finger that does not rest moves the page.
    const before = await scrolled();
    const [x, y] = await middle(shelf);
    await touch('touchStart', [x, y]);
    for (let by = 15; by < 200; by += 15) await touch('touchMove', [x, y - by]);
    await touch('touchEnd');
    await expect.poll(scrolled).toBeGreaterThan(before + 50);
    expect(await inHand.count()).toBe(0);

    // One that rests carries; at the edge the page comes along until the bar is there.
    const first = await laid(page);
    await shelf.scrollIntoViewIfNeeded();
    const held = await middle(shelf);
    await pickUp(held);
    await touch('touchMove', [held[0], 200]);
    await touch('touchMove', [held[0], 20]);
    await expect
      .poll(async () => (await bar(page, 3).boundingBox())!.y, { timeout: 15_000 })
      .toBeGreaterThan(120);
    await touch('touchMove', await middle(bar(page, 3)));
    await inHand.filter({ hasText: 'Third Rungonto bars 3 to 4' }).waitFor();
    expect(await onto.getAttribute('data-bar')).toBe('3');
    await touch('touchEnd');
    await expect.poll(async () => (await laid(page))[2]).toMatch(/Third Rung, pinned$/u);
    await settled(page);
    expect(await laid(page)).not.toEqual(first);
    expect(await bar(page, 3).getAttribute('aria-pressed')).toBe('true');

    // Escape, a second finger and letting go beside the bars change nothing.
    const put = await laid(page);
    const ends: readonly ((five: readonly [number, number]) => Promise<unknown>)[] = [
      () => page.keyboard.press('Escape'),
      (five) => touch('touchStart', five, [five[0], 20]),
      (five) => touch('touchMove', [five[0], 20]),
    ];
    for (const end of ends) {
      const five = await middle(bar(page, 5));
      await pickUp(await middle(bar(page, 3)));
      await touch('touchMove', five);
      await expect.poll(() => onto.getAttribute('data-bar')).toBe('5');
      await end(five);
      await expect.poll(() => onto.count()).toBe(0);
      await touch('touchEnd');
      await expect.poll(() => inHand.count()).toBe(0);
      await page.evaluate(() => window.scrollTo(0, 0));
      await bar(page, 5).scrollIntoViewIfNeeded();
      expect(await laid(page)).toEqual(put);
    }

    // What is said at the foot takes little of a phone: the last result, and the one before it when that is put away.
    const results = () =>
      page.locator('.notice').evaluateAll((all) => all.map((e) => e.checkVisibility()));
    const into = page.getByRole('button', { name: 'Put it into the lesson' });
    await into.click();
    await expect.poll(results).toEqual([true]);
    await into.click();
    await expect.poll(results).toEqual([false, true]);
    expect(await page.locator('.notices').evaluate((e) => e.clientHeight)).toBeLessThan(844 / 6);
    await page.getByRole('button', { name: /^Close: It is in/u }).click();
    await expect.poll(results).toEqual([true]);
  });

  it('goes over a form of one’s own, with what is wrong in it said under the character', async () => {
    const page = await at('#/solo?form=eight-bars&key=G');
    await settled(page);
    await page.getByRole('button', { name: 'Write a form of your own' }).click();
    await page.getByLabel('Title of the form').fill('Quayside');
    const bars = page.getByLabel('Bars of section 1');
    await bars.fill('I7 | IV7 | I7 | Q7');
    await page.getByText("'Q7' is no numeral").waitFor();
    await page.getByText('Until then these bars stay as they were.').waitFor();
    // What the tempo cannot be is said, also when the field has gone back to what it is.
    const beats = page.getByLabel('Beats a minute');
    const was = await beats.inputValue();
    await beats.fill('9');
    expect(await beats.getAttribute('aria-invalid')).toBe('true');
    await beats.blur();
    expect(await beats.inputValue()).toBe(was);
    await page.getByText(`From 20 to 400; it stays ${was}.`).waitFor();
    await expectAccessible(page);
    // No sample is so short: that is said once, and nothing is said to be sought meanwhile.
    await bars.fill('I7');
    await page.getByRole('alert').filter({ hasText: 'No phrase in 4/4 of one bar' }).waitFor();
    await page.getByText('Sought once what is said above the bars is mended.').waitFor();
    await bars.fill('I7 | IV7 | % | V7');
    await page.getByRole('button', { name: 'Add a section' }).click();
    await expect.poll(() => bars.inputValue()).toBe('I7 | IV7 | IV7 | V7');
    await expect.poll(async () => (await laid(page)).length).toBe(8);
    expect((await laid(page))[2]).toContain('C7');
    await page.getByText('Saved.').waitFor();
    await page.reload();
    await settled(page);
    expect((await laid(page)).length).toBe(8);
    await page.getByRole('combobox', { name: 'Key' }).selectOption('Eb');
    await page.getByLabel('Notes of Solo over Quayside in E♭').first().waitFor();
    await page.getByRole('combobox', { name: 'Key' }).selectOption('C');
    await expect.poll(async () => (await laid(page))[1]).toContain('F7');
    await page.setViewportSize({ width: 390, height: 844 });
    await page.getByLabel('Section', { exact: true }).first().fill('A'.repeat(100));
    await page.getByText(`Bars of ${'A'.repeat(100)}`).waitFor();
    const numerals = page.locator('.form-numerals input').first();
    const written = await numerals.inputValue();
    await numerals.fill(`${'I7 '.repeat(3)}${'x'.repeat(300)}`);
    await page.getByText(/Bar 1: 'x{40}…' is no numeral\./u).waitFor();
    await expect.poll(() => page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    await numerals.fill(`${written} | ${'I7 | '.repeat(60)}Q7`);
    await page.getByText("'Q7' is no numeral").waitFor();
    await expect.poll(() => page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    await page.getByRole('button', { name: 'Remove the form' }).click();
    await page.getByText('“Quayside” was removed.').waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).last().click();
    await page.getByLabel('Title of the form').waitFor();
    // What lies beyond the end waits until the form is longer; what is nonsense in the address is not said.
    await page.evaluate(() => {
      window.location.hash = '#/solo?form=blues&key=H&held=0 400 3 13:sample-03-third-rung:!';
    });
    await bar(page, 3)
      .filter({ hasText: /empty$/u })
      .waitFor();
    await settled(page);
    await page.getByLabel('Length').selectOption('2');
    await bar(page, 13)
      .filter({ hasText: /Third Rung, pinned$/u })
      .waitFor();
    // From a phrase straight onto the form in which it is at home: ii V I in F, bars 3 to 5.
    await page.evaluate(() => {
      window.location.hash = '#/phrase/sample-08-spiral-stair';
    });
    await page.getByRole('link', { name: 'Lay it on a form' }).click();
    await bar(page, 3)
      .filter({ hasText: /Gm7.*Spiral Stair, pinned$/u })
      .waitFor();
  });
});
