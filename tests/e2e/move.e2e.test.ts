import { inflateSync } from 'node:zlib';
import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { expectAccessible } from './browser';
import { visits } from './visits';

const DOORS = 'sample-07-two-doors-one-key';
const BENDS = 'sample-19-milk-cart-bends';

const app = visits();

const { at } = app;

const notice = (page: Page, text: string | RegExp) => page.locator('.notice', { hasText: text });
const heading = (page: Page, name: string) => page.getByRole('heading', { level: 1, name });
const result = (page: Page) => page.locator('.pair .lower').first();
const frets = (page: Page, which: 'upper' | 'lower') =>
  page
    .getByRole('list', { name: which === 'upper' ? 'Notes, before' : 'Notes, after' })
    .textContent();
/** Where each note is played, in the order of the list. */
const placesIn = async (page: Page, which: 'upper' | 'lower') =>
  [...(await frets(page, which))!.matchAll(/string \d+, (?:fret \d+|open)/gu)].map(([t]) => t);

describe('a phrase that names no chord', () => {
  it('is asked what it is played over, and moves with that', async () => {
    const page = await app.emptyBar();
    for (const key of ['5', 'Enter', '8', 'Enter']) await page.keyboard.press(key);
    await page.getByText('Saved.', { exact: true }).waitFor();
    await page.getByRole('link', { name: 'Done' }).click();
    await page.getByRole('link', { name: 'Move it over IV F' }).click();
    await page.getByText(/^Moved over F\./u).waitFor();
    expect(await placesIn(page, 'lower')).toEqual(await placesIn(page, 'upper'));
    await page.getByRole('button', { name: 'It is played over I7 C7' }).click();
    await notice(page, 'now stands over C7.').waitFor();
    // A fourth above (M6), each note on its own string (M12, shape).
    expect(await placesIn(page, 'upper')).toEqual(['string 3, fret 5', 'string 3, fret 8']);
    await expect
      .poll(() => placesIn(page, 'lower'))
      .toEqual(['string 3, fret 10', 'string 3, fret 13']);
    expect(await page.getByText('Which chord is it played over?').count()).toBe(0);
    await expectAccessible(page);
  });
});

describe('the main job', () => {
  it('library, phrase, I to IV, what changed and why, keep, and it is there after a reload', async () => {
    const page = await at('#/');
    await page.getByRole('link', { name: 'Milk Cart Bends' }).first().click();
    await heading(page, 'Milk Cart Bends').waitFor();
    await page.getByRole('link', { name: 'Move it over IV F' }).click();
    await heading(page, 'Move Milk Cart Bends').waitFor();
    await page.getByText(/^Moved over F\./u).waitFor();
    await page.getByLabel('Chord or numeral').fill('iv');
    await page.getByText(/^Moved over Fm\. \d+ notes framed\. 1 wish/u).waitFor();

    // Bar under bar: the same bars, one under the other, at the same places.
    const lines = page.locator('.pair-line');
    expect(await lines.count()).toBeGreaterThan(0);
    const box = async (part: string) => (await lines.first().locator(`${part} svg`).boundingBox())!;
    const [above, below] = [await box('.upper'), await box('.lower')];
    expect(below.y).toBeGreaterThan(above.y);
    expect(below.x).toBe(above.x);

    // What changed is marked by a sign and by colour, and the reason stands below in words.
    expect(await result(page).locator('.dw-changed-mark').count()).toBeGreaterThan(0);
    const changed = result(page).locator('.dw-changed').first();
    const ink = result(page).locator('svg');
    const colour = (e: typeof ink) => e.evaluate((x) => getComputedStyle(x).color);
    expect(await colour(changed)).not.toBe(await colour(ink));
    await page
      .getByRole('table', { name: 'Framed notes' })
      .getByText('3 becomes ♭3: that is how Fm has it')
      .first()
      .waitFor();
    // Fingers are of the whole hand, and said once.
    await page.getByText('Not kept: the fingers of 7 notes').waitFor();
    expect(await frets(page, 'lower')).not.toBe(await frets(page, 'upper'));

    // The neck before and after, and on request one neck with an arrow from each place left.
    const necks = page.locator('.move-neck .neck-picture');
    expect(await necks.count()).toBe(0);
    await page.getByText('The neck before and after').click();
    await expect.poll(() => necks.count()).toBe(2);
    expect(await necks.allTextContents()).toEqual([
      expect.stringMatching(/^before/u),
      expect.stringMatching(/^after/u),
    ]);
    await page.getByText(/^\d+ notes go to another place, \d+ stays? where/u).waitFor();
    expect(await page.locator('.dw-neck-arrow').count()).toBe(0);
    await page.getByRole('checkbox', { name: 'On one neck, with arrows' }).press('Space');
    await expect.poll(() => necks.count()).toBe(1);
    // One arrow for each way from place to place: the lists beside the scores say which there are.
    const [was, is] = [await placesIn(page, 'upper'), await placesIn(page, 'lower')];
    const ways = new Set(was.flatMap((a, i) => (a === is[i] ? [] : [`${a} to ${is[i]}`])));
    expect(ways.size).toBeGreaterThan(3);
    expect(await page.locator('.dw-neck-arrow').count()).toBe(ways.size);
    await expectAccessible(page);

    await page.getByRole('button', { name: 'Keep as a new phrase' }).click();
    await notice(page, 'Kept as “Milk Cart Bends over iv in C”.').waitFor();
    await heading(page, 'Milk Cart Bends over iv in C').waitFor();
    await page.getByText('Made from Milk Cart Bends').waitFor();
    await page.reload();
    await heading(page, 'Milk Cart Bends over iv in C').waitFor();
    await page.getByText('Made from Milk Cart Bends').waitFor();
    await page.getByRole('link', { name: 'Library', exact: true }).click();
    await page.getByText('34 phrases', { exact: true }).waitFor();
  });

  it('keeping can be undone, and leads back to the move', async () => {
    const page = await at(`#/phrase/${DOORS}/move?to=IV7`);
    await page.getByLabel('Title of the new phrase').fill('A door of my own');
    await page.getByRole('button', { name: 'Keep as a new phrase' }).click();
    await heading(page, 'A door of my own').waitFor();
    await notice(page, 'Kept as').getByRole('button', { name: 'Undo' }).click();
    await notice(page, '“A door of my own” is out of the library again.').waitFor();
    await heading(page, 'Move Two Doors, One Key').waitFor();
    await page.getByRole('link', { name: 'Library', exact: true }).click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
  });

  it('replacing puts the result in its place, and can be undone there and then or later', async () => {
    const page = await at(`#/phrase/${DOORS}/move?to=IV7`);
    const chords = () => page.locator('.facts').textContent();
    await page.getByText(/^Moved over/u).waitFor();
    const original = await chords();
    await page.getByRole('button', { name: 'Replace the original' }).click();
    await notice(page, /^“Two Doors, One Key” is now over/u).waitFor();
    await heading(page, 'Two Doors, One Key').waitFor();
    expect(await chords()).not.toBe(original);
    await notice(page, 'is now over').getByRole('button', { name: 'Undo' }).click();
    await notice(page, '“Two Doors, One Key” is as it was before.').waitFor();
    expect(await chords()).toBe(original);
    // The way back is a step like any other.
    await page.getByRole('button', { name: 'Undo the way back' }).click();
    await expect.poll(chords).not.toBe(original);
    await page.getByRole('button', { name: /^Undo the move over/u }).click();
    await expect.poll(chords).toBe(original);
    await page.getByText('Saved.', { exact: true }).waitFor();
    await page.reload();
    await heading(page, 'Two Doors, One Key').waitFor();
    expect(await chords()).toBe(original);
  });

  it('letting go changes nothing, and can be taken back', async () => {
    const page = await at(`#/phrase/${DOORS}/move?key=Bb&hand=area`);
    await page.getByText(/^Moved to B♭/u).waitFor();
    await page.getByRole('button', { name: 'Let go' }).click();
    await heading(page, 'Two Doors, One Key').waitFor();
    await notice(page, 'is unchanged').getByRole('button', { name: 'Undo' }).click();
    await heading(page, 'Move Two Doors, One Key').waitFor();
    await page.getByText(/^Moved to B♭/u).waitFor();
    expect(page.url()).toContain('hand=area');
  });

  it('goes by the keyboard alone', async () => {
    const page = await at(`#/phrase/${DOORS}/move`);
    await heading(page, 'Move Two Doors, One Key').waitFor();
    await tabTo(page, 'IV7 ');
    await page.keyboard.press('Enter');
    await page.getByText(/^Moved over/u).waitFor();
    await tabTo(page, 'How');
    await page.keyboard.press('Enter');
    await tabTo(page, 'Keep what each note is');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    await page.getByText('Every pitch stays where it was.').waitFor();
    await tabTo(page, 'Keep as a new phrase');
    await page.keyboard.press('Enter');
    await notice(page, 'Kept as').waitFor();
  });
});

/** Presses Tab until what has the focus begins with the words. */
async function tabTo(page: Page, words: string): Promise<void> {
  for (let i = 0; i < 80; i++) {
    await page.keyboard.press('Tab');
    const text = await page.evaluate(() => {
      const e = document.activeElement;
      const label = e instanceof HTMLInputElement ? e.labels?.[0]?.textContent : null;
      return (label ?? e?.textContent ?? '').trim();
    });
    if (`${text} `.startsWith(words.trim())) return;
  }
  throw new Error(`Tab never came to '${words}'`);
}

describe('saying where to', () => {
  it('a lane of the wrong length is refused beside its field, with what to do', async () => {
    const page = await at(`#/phrase/${BENDS}/move?lane=${encodeURIComponent('I | IV')}`);
    const field = page.getByLabel('Chords by bar');
    await page.locator('.goal-field .problem').waitFor();
    expect(await page.locator('.goal-field .problem').textContent()).toBe(
      'The lane has 2 bars and the phrase 3 bars. Give 3 bars of chords, or one symbol for the whole phrase.',
    );
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    expect(await field.getAttribute('aria-describedby')).toContain('problem');
    expect(await page.getByRole('button', { name: 'Keep as a new phrase' }).count()).toBe(0);
    await expectAccessible(page);
    await field.fill('I | IV V | I');
    await page.getByText(/^Moved over I \| IV V \| I\./u).waitFor();
    expect(await field.getAttribute('aria-invalid')).toBe('false');
  });

  it('the notes can stay while the chord changes; suggestions are applied and taken back', async () => {
    const page = await at(`#/phrase/sample-06-twelve-at-the-salt-loft/move?to=IV7&way=hold`);
    await page
      .getByText(/clashes with the ♭7 of C7: lower B to B♭/u)
      .first()
      .waitFor();
    const held = await frets(page, 'lower');
    await page.getByRole('button', { name: 'Apply the suggestions' }).click();
    await page.getByRole('heading', { name: 'Suggestions are applied' }).waitFor();
    await expect.poll(() => frets(page, 'lower')).not.toBe(held);
    await page.getByRole('button', { name: 'Take them back' }).click();
    await expect.poll(() => frets(page, 'lower')).toBe(held);
  });

  it('steps, an octave and another beat are a tap away', async () => {
    const page = await at(`#/phrase/${DOORS}/move`);
    await page
      .getByText('A lane of chords, the scale, an octave, another instrument, another beat')
      .click();
    await page.getByRole('button', { name: 'up a third' }).click();
    await page.getByText(/^Moved up 2 scale steps\./u).waitFor();
    await page.getByRole('button', { name: 'an octave up' }).click();
    await page.getByText(/^Moved an octave up\./u).waitFor();
    await page.getByRole('button', { name: 'Ukulele' }).click();
    await page.getByText(/^Moved on ukulele\./u).waitFor();
    await page.getByLabel('on beat').fill('2.5');
    await page.getByText(/^Moved to bar \d, beat 2\.5\./u).waitFor();
    await page.goBack();
    await page.getByText(/^Moved an octave up\.|^Moved up 2 scale steps\./u).waitFor();
  });

  it('fits a phone', async () => {
    const page = await at(`#/phrase/${BENDS}/move?to=IVmaj7`, {
      viewport: { width: 390, height: 844 },
      hasTouch: true,
    });
    await result(page).locator('svg').waitFor();
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(wide).toBe(390);
    const small = await page.evaluate(() =>
      [...document.querySelectorAll('main button, main select, main input, main summary, main a')]
        .map((e) => ({ e, box: (e.closest('label') ?? e).getBoundingClientRect() }))
        .filter(({ box }) => box.width > 0 && (box.height < 43.9 || box.width < 43.9))
        .map(({ e, box }) => `${e.textContent} ${box.width}×${box.height}`),
    );
    expect(small).toEqual([]);
    await expectAccessible(page);
  });
});

describe('comparing', () => {
  it('sets two phrases bar under bar and says what differs', async () => {
    const page = await at('#/compare/sample-03-third-rung/sample-01-first-ferry-out');
    await heading(page, 'Two phrases compared').waitFor();
    // Notes of the two have the same ids: only the one that is heard is marked.
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.locator('.upper .sounding span').first().waitFor();
    expect(await page.locator('.lower .sounding').count()).toBe(0);
    await page.getByRole('button', { name: 'Stop' }).click();
    await page.locator('.pair-line .lower svg').first().waitFor();
    const table = page.getByRole('table', { name: 'What differs' });
    await table.getByRole('row', { name: 'Key D major A blues' }).waitFor();
    expect(await table.getByRole('row').count()).toBeGreaterThan(10);
    await expectAccessible(page);
    // The list is made when somebody goes to it.
    await page.locator('#compare-b').focus();
    await page.locator('#compare-b').selectOption({ label: 'Third Rung' });
    await page.getByText(/^Nothing: all \d+ notes are the same\.$/u).waitFor();
    expect(await page.locator('.dw-changed').count()).toBe(0);
  });
});

describe('printing', () => {
  it('is one clean sheet on paper of the size chosen', async () => {
    const page = await at(`#/print/${BENDS}?paper=a4`);
    await page.locator('.sheet svg.dw-score').first().waitFor();
    await expectAccessible(page);
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    const seen = await page.evaluate(() =>
      [...document.querySelectorAll('header.frame-head, .print-controls, .notices, button, select')]
        .filter((e) => e.checkVisibility())
        .map((e) => e.className || e.tagName),
    );
    expect(seen).toEqual([]);
    const sheet = page.locator('.sheet');
    const text = await sheet.textContent();
    for (const part of [
      'Milk Cart Bends',
      'in the style of straight country ballad, steel-guitar bends',
      'C major',
      'quarter = 80',
      'straight',
      'Think of a steel guitar',
      'bend first, then strike',
      'Warm up, take breaks',
    ])
      expect(text).toContain(part);
    const colours = await sheet.evaluate((e) => {
      const style = getComputedStyle(e);
      return [style.color, style.backgroundColor];
    });
    expect(colours).toEqual(['rgb(0, 0, 0)', 'rgb(255, 255, 255)']);
    // A4 is 595 by 842 points (ISO 216), Letter 612 by 792 (ANSI).
    expect(await pdfPages(page)).toEqual(['595 842']);
    await page.emulateMedia({ media: null, colorScheme: null });
    await page.getByLabel('Paper').selectOption('letter');
    expect(await pdfPages(page)).toEqual(['612 792']);
  });

  it.each([
    ['footer', 'a4', 297, '.sheet-legend', 'footer'],
    ['footer', 'letter', 279.4, '.sheet-legend', 'footer'],
    ['table of signs', 'a4&notes=no', 297, '.line:last-child', 'footer, .sheet-signs'],
    ['table of signs', 'letter&notes=no', 279.4, '.line:last-child', 'footer, .sheet-signs'],
  ])(
    'of twelve bars leaves no page with the %s alone on %s',
    async (_, paper, high, last, over) => {
      const page = await at(`#/print/sample-06-twelve-at-the-salt-loft?paper=${paper}`);
      await page.locator('.sheet-legend dd').first().waitFor();
      await page.locator('.sheet .line').first().waitFor();
      // As much room over the music as leaves 3 mm under what is last, where what comes then would not fit.
      await page.locator('.sheet').evaluate(
        (sheet, { height, end: what, hidden }) => {
          const mm = 96 / 25.4;
          const head = sheet.querySelector('header')!;
          const { paddingBottom } = getComputedStyle(sheet);
          const end = sheet.querySelector(what)!.getBoundingClientRect().bottom;
          const used = end - sheet.getBoundingClientRect().top + Number.parseFloat(paddingBottom);
          head.style.marginBottom = `${6 + height - 3 - used / mm}mm`;
          // What is left on its page is then what came along with it.
          for (const e of sheet.querySelectorAll<HTMLElement>(hidden))
            e.style.visibility = 'hidden';
        },
        { height: high, end: last, hidden: over },
      );
      expect(await pdfWords(page)).toEqual([true, true]);
    },
  );
});

/** Width and height of every page of the page's PDF, in whole points. */
async function pdfPages(page: Page): Promise<readonly string[]> {
  const text = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  return [...text.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/gu)].map(
    ([, w, h]) => `${Math.round(Number(w))} ${Math.round(Number(h))}`,
  );
}

/** Which pages of the page's PDF show words: operators Tj and TJ of ISO 32000-1, 9.4.3. */
async function pdfWords(page: Page): Promise<readonly boolean[]> {
  const pdf = await page.pdf({ preferCSSPageSize: true });
  const text = pdf.toString('latin1');
  return [...text.matchAll(/\/Type \/Page\b[\s\S]*?\/Contents (\d+) 0 R/gu)].map(([, ref]) => {
    const at = text.indexOf(`\n${ref} 0 obj`);
    const start = text.indexOf('stream\n', at) + 'stream\n'.length;
    const length = Number(/\/Length (\d+)/u.exec(text.slice(at, start))![1]);
    const drawn = inflateSync(pdf.subarray(start, start + length)).toString('latin1');
    return /\bT[jJ]\b/u.test(drawn);
  });
}
