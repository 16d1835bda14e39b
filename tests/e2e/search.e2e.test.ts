import type { Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { define } from '../../src/core/search/define/define';
import { readQuery } from '../../src/core/search/query/read';
import { encodePhrase } from '../../src/io/json';
import { readSamples } from '../support/samples';
import { expectAccessible } from './browser';
import { visits } from './visits';

const samples = readSamples().map((s) => s.phrase);

const app = visits();

const titles = (page: Page) => page.locator('.card h2').allTextContents();

/** Titles of the samples of which a query holds, by its definition. */
function expected(text: string): readonly string[] {
  const read = readQuery(text);
  if (!read.ok) throw new Error(text);
  return samples.filter((p) => define(read.value.query, p).holds).map((p) => p.meta.title);
}

/** Bytes of the index on the disk; 0 where there is none. */
function keptBytes(page: Page): Promise<number> {
  return page.evaluate(async () => {
    try {
      const root = await navigator.storage.getDirectory();
      const folder = await root.getDirectoryHandle('degreewise-search');
      return (await (await folder.getFileHandle('index')).getFile()).size;
    } catch {
      return 0;
    }
  });
}

/** What can have become of the index on the disk. */
type Fate = 'whole' | 'other byte' | 'cut short' | 'gone';

/** Tried again where the page wrote the index anew in between. */
async function meddle(page: Page, fate: Fate): Promise<void> {
  await expect.poll(() => meddled(page, fate).catch(() => false), { timeout: 20_000 }).toBe(true);
}

function meddled(page: Page, fate: Fate): Promise<boolean> {
  return page.evaluate(async (how) => {
    const root = await navigator.storage.getDirectory();
    if (how === 'gone') {
      await root.removeEntry('degreewise-search', { recursive: true });
      return true;
    }
    const folder = await root.getDirectoryHandle('degreewise-search');
    const handle = await folder.getFileHandle('index');
    const bytes = new Uint8Array(await (await handle.getFile()).arrayBuffer());
    if (how === 'other byte') bytes[bytes.length >> 1]! ^= 255;
    const writable = await handle.createWritable();
    await writable.write(how === 'cut short' ? bytes.slice(0, bytes.length >> 1) : bytes);
    await writable.close();
    return true;
  }, fate);
}

describe('the field that finds', () => {
  it('finds words and music, completes, marks what it found, and tells what is wrong', async () => {
    const page = await app.library();
    const field = page.getByRole('combobox', { name: 'Find' });
    await field.fill('5 6 b7 with:sl');
    // Completed by keys; the list is said by name.
    const offer = page.getByRole('option', { name: 'with:slide', exact: true });
    await offer.waitFor();
    await expectAccessible(page);
    const options = await page.getByRole('option').allTextContents();
    const place = options.findIndex((o) => o.trim() === 'with:slide');
    for (let i = 0; i <= place; i++) await field.press('ArrowDown');
    expect(await offer.getAttribute('aria-selected')).toBe('true');
    await field.press('Enter');
    expect(await field.inputValue()).toBe('5 6 b7 with:slide ');
    await field.fill('6 b7');
    const found = expected('6 b7');
    expect(found.length).toBeGreaterThan(0);
    await page.getByText(`${found.length} of 33 phrases`, { exact: true }).waitFor();
    await expect.poll(async () => [...(await titles(page))].sort()).toEqual([...found].sort());
    // Each card says why: rings on the score, and the bars in words.
    await expect.poll(() => page.locator('.card-rings rect').count()).toBeGreaterThan(0);
    expect(await page.locator('.card-why p').first().textContent()).toMatch(/bar \d+: .*6/iu);
    // So does each line of the dense list.
    await page.getByLabel('Show as').selectOption('lines');
    await expect.poll(() => page.locator('.phrase-line-found').count()).toBe(found.length);
    expect(await page.locator('.phrase-line-found').first().textContent()).toMatch(/▾ .+: .*6/u);
    await page.getByLabel('Show as').selectOption('cards');
    await expectAccessible(page);
    await page.reload();
    await page.getByText(`${found.length} of 33 phrases`, { exact: true }).waitFor();
    // What is wrong is told under its character, and the cards stay.
    await field.fill('6 b7 level:9');
    await page.getByText('At character 12:').waitFor();
    const sign = await page.locator('.search-place span').boundingBox();
    const box = await field.boundingBox();
    expect(sign!.width).toBeGreaterThan(20);
    expect(sign!.x + sign!.width).toBeLessThan(box!.x + box!.width);
    expect((await titles(page)).length).toBe(found.length);
    // A slip is mended, and told.
    await field.fill('wlaking');
    await page.getByText('No phrase says ‘wlaking’. Shown is what says ‘walking’.').waitFor();
    await expect.poll(async () => (await titles(page)).length).toBe(expected('walking').length);
    // What the words fit best comes first, until somebody chooses another order, which then stays.
    const order = page.getByLabel('Order');
    expect(await order.inputValue()).toBe('match');
    await field.fill('salt loft');
    await expect.poll(async () => (await titles(page))[0]).toBe('Twelve at the Salt Loft');
    await order.selectOption({ label: 'by title' });
    await field.fill('low');
    await expect.poll(async () => (await titles(page)).length).toBe(expected('low').length);
    expect(await order.inputValue()).toBe('title');
    await order.selectOption({ label: 'best match first' });
    await expect.poll(async () => (await titles(page))[0]).toMatch(/^Low /u);
    await field.fill('');
    await expect.poll(() => order.inputValue()).toBe('begin');
    // What is played is found in any key: by keys on the neck, and as quick text.
    await page.getByText('Find by playing a few notes').click();
    await page.getByRole('button', { name: 'String 3, fret 5' }).focus();
    for (const key of ['Enter', 'ArrowRight', 'ArrowRight', 'Enter'])
      await page.keyboard.press(key);
    await expect.poll(() => field.inputValue()).toBe('intervals:+2');
    await page.getByText(`${expected('intervals:+2').length} of 33 phrases`).waitFor();
    await page.getByLabel('Played so far, as quick text').fill('3:5 2:5 2:4');
    const played = expected('intervals:+4-1');
    await page.getByText(`${played.length} of 33 phrases`, { exact: true }).waitFor();
    await page.getByText('Looked for in any key: up 4, down 1, in semitones.').waitFor();
    // Its groups stand apart: from the foot of one to the head of the next.
    const apart = await page.locator('.play-to-find > :not(:empty)').evaluateAll((groups) => {
      const boxes = groups.map((g) => g.getBoundingClientRect());
      return boxes.slice(1).map((box, i) => box.top - boxes[i]!.bottom);
    });
    expect(apart.length).toBeGreaterThanOrEqual(5);
    expect(Math.min(...apart)).toBeGreaterThanOrEqual(8);
    // On a phone the neck scrolls by itself.
    const usual = page.viewportSize()!;
    await page.setViewportSize({ width: 390, height: 844 });
    const tooWide = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
    await expect.poll(() => page.evaluate(tooWide)).toBe(0);
    await page.setViewportSize(usual);
    await page.getByRole('button', { name: 'Play others' }).click();
    // What is saved or removed is known at once.
    await field.fill('6 b7');
    const [first] = expected('6 b7');
    await page.getByLabel(`Choose ${first}`).check();
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByText(`${expected('6 b7').length - 1} of 32 phrases`, { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText(`${expected('6 b7').length} of 33 phrases`, { exact: true }).waitFor();
    // The index is kept, taken from the disk again, and read anew where it is damaged.
    await expect.poll(() => keptBytes(page), { timeout: 20_000 }).toBeGreaterThan(1000);
    for (const fate of ['whole', 'other byte', 'cut short', 'gone'] as const) {
      await meddle(page, fate);
      await page.reload();
      await page.getByText(`${expected('6 b7').length} of 33 phrases`, { exact: true }).waitFor();
    }
  });

  it('finds what is like a phrase, and what is here twice', async () => {
    const page = await app.library();
    const original = samples.find((p) => p.meta.title === 'Third Rung')!;
    const twin = { ...original, id: 'e2e-twin', meta: { ...original.meta, title: 'Third Twin' } };
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in …' }).click();
    await (await chooser).setFiles({
      name: 'twin.json',
      mimeType: 'application/json',
      buffer: Buffer.from(encodePhrase(twin)),
    });
    await page.getByText('34 phrases', { exact: true }).waitFor();
    await page.getByRole('link', { name: 'Third Rung' }).click();
    await page.getByRole('link', { name: 'More like this' }).click();
    await page.getByText('Like Third Rung, the likest first, in any key.').waitFor();
    await expect.poll(async () => (await titles(page))[0], { timeout: 10_000 }).toBe('Third Twin');
    await page.getByRole('button', { name: 'Leave that' }).click();
    await page.getByText('34 phrases', { exact: true }).waitFor();
    await page.keyboard.press('Control+.');
    await page.keyboard.type('here twice');
    await page.keyboard.press('Enter');
    const pair = page.locator('.twins li', { hasText: 'Third Twin' });
    await pair.getByText('the same melody').waitFor();
    await expectAccessible(page);
    // Both are wanted, which the library knows from then on; taken back, one is asked about them again.
    await pair.getByRole('button', { name: 'Keep both' }).click();
    await page.getByText('Both are kept: “Third').waitFor();
    await page.getByText('0 pairs found.').waitFor();
    await page.locator('.notices').getByRole('button', { name: 'Undo' }).last().click();
    await page.getByText('They are asked about again.').waitFor();
    await pair.getByText('the same melody').waitFor();
    // Looked at beside each other, one is kept there, and the list is seen again.
    await pair.getByRole('link', { name: 'Compare' }).click();
    await page.getByRole('heading', { name: /Third Rung” and .* are nearly the same/u }).waitFor();
    await expectAccessible(page);
    await page.getByRole('link', { name: 'What is here twice' }).click();
    await pair.getByRole('link', { name: 'Compare' }).click();
    await page.getByRole('button', { name: 'Keep only the one above' }).click();
    await page.getByText('“Third Rung” is kept; the other phrase can be brought back.').waitFor();
    await page.getByText('0 pairs found.').waitFor();
    await page.getByText('33 phrases', { exact: true }).waitFor();
    expect(await titles(page)).not.toContain('Third Twin');
  });
});
