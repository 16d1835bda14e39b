import { readFileSync } from 'node:fs';
import { unzipSync } from 'fflate';
import type { Download, Page } from 'playwright';
import { describe, expect, it } from 'vitest';
import { run } from '../../src/cli/run';
import { define } from '../../src/core/search/define/define';
import { readQuery } from '../../src/core/search/query/read';
import { decodeFile } from '../../src/io/file/decode-file';
import { encodeLibrary, encodePhrase } from '../../src/io/json';
import { decodeAny } from '../../src/io/library/decode';
import { checkMusicXml } from '../../src/io/musicxml/check/check-musicxml';
import { readMxl, writeMxl } from '../../src/io/musicxml/package/mxl';
import { readMusicXml } from '../../src/io/musicxml/read/read-musicxml';
import { writeMusicXml } from '../../src/io/musicxml/write/write-musicxml';
import { build } from '../support/build';
import { memoryIo } from '../support/memory-io';
import { readSamples } from '../support/samples';
import { expectAccessible } from './browser';
import { visits } from './visits';

const samples = readSamples();

const app = visits();

async function library(place = '#/'): Promise<Page> {
  const page = await app.open(place);
  await page.locator('.library').waitFor();
  return page;
}

const cards = (page: Page) => page.locator('.card');
const titles = (page: Page) => page.locator('.card h2').allTextContents();

describe('first start', () => {
  it('shows every sample as a card with its first line engraved', async () => {
    const page = await library();
    await page.getByText(`${samples.length} phrases`, { exact: true }).waitFor();
    await expect.poll(() => cards(page).count()).toBe(samples.length);
    const first = page.locator('.card', { hasText: 'Two Doors, One Key' });
    await first.scrollIntoViewIfNeeded();
    await first.locator('svg.dw-score').waitFor();
    const sample = samples.find((s) => s.name === '07-two-doors-one-key')!.phrase;
    expect(sample.meta.title).toBe('Two Doors, One Key');
    const text = await first.textContent();
    for (const tag of sample.meta.tags) expect(text).toContain(tag);
    expect(await first.locator('.degrees li').count()).toBeGreaterThan(3);
    // A picture of the whole page makes the window small for a moment: what the browser says of it comes in one go.
    await page.screenshot({ fullPage: true });
    await page.screenshot({ fullPage: true });
    await expect.poll(() => cards(page).count()).toBe(samples.length);
    await expectAccessible(page);
  });

  it('samples can be removed, brought back, and stay away after a new start', async () => {
    const page = await library();
    await page.getByText(`${samples.length} phrases`, { exact: true }).waitFor();
    await act(page, 'remove the samples');
    await page.getByText('There is no phrase here yet.').waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText(`${samples.length} phrases`, { exact: true }).waitFor();
    await act(page, 'remove the samples');
    await page.getByText('There is no phrase here yet.').waitFor();
    await page.reload();
    await page.getByText('There is no phrase here yet.').waitFor();
    await page.getByRole('button', { name: 'Lay in the samples' }).click();
    await page.getByText(`${samples.length} phrases`, { exact: true }).waitFor();
  });
});

/** Through the list of everything that can be done. */
async function act(page: Page, words: string): Promise<void> {
  await page.keyboard.press('Control+.');
  await page.getByRole('combobox', { name: 'Say what you want to do' }).fill(words);
  await page.keyboard.press('Enter');
}

describe('finding', () => {
  it('narrows by words, keeps the view in the address, and comes back with it', async () => {
    const page = await library();
    await page.getByLabel('Find').fill('walking bass');
    const expected = samples
      .filter((s) => s.phrase.meta.tags.includes('walking bass'))
      .map((s) => s.phrase.meta.title);
    await page.getByText(`${expected.length} of 33 phrases`, { exact: true }).waitFor();
    await expect.poll(() => titles(page)).toEqual(expected);
    await page.reload();
    await page.getByText(`${expected.length} of 33 phrases`, { exact: true }).waitFor();
    await expect.poll(() => titles(page)).toEqual(expected);
    expect(await page.getByLabel('Find').inputValue()).toBe('walking bass');
  });

  it('chooses all that was found beside what was chosen, and the focus stays where it was', async () => {
    const page = await library();
    await page.getByRole('checkbox', { name: 'First Ferry Out' }).first().check();
    await page.getByRole('combobox', { name: 'Find' }).fill('6 b7');
    await page.getByText(/^[1-9]\d? of 33 phrases$/u).waitFor();
    const many = await cards(page).count();
    expect(many).toBeGreaterThan(2);
    expect(await titles(page)).not.toContain('First Ferry Out');
    const button = page.getByRole('button', { name: `Choose all ${many} found` });
    await button.focus();
    await page.keyboard.press('Enter');
    await page.getByText(`${many + 1} phrases chosen`).waitFor();
    const focused = () => page.evaluate(() => document.activeElement?.textContent);
    expect(await focused()).toBe(`All ${many} found are chosen`);
    // Again it does nothing.
    await page.keyboard.press('Enter');
    await page.getByText(`${many + 1} phrases chosen`).waitFor();
    await expectAccessible(page);
    await cards(page).getByRole('checkbox').first().uncheck();
    await page.getByText(`${many} phrases chosen`).waitFor();
    await button.waitFor();
    await page.getByRole('button', { name: 'Choose none' }).click();
    // Where nothing is asked for there is no such button.
    await page.getByRole('combobox', { name: 'Find' }).fill('');
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await expect.poll(() => page.getByRole('button', { name: /^Choose all/u }).count()).toBe(0);
  });

  it('narrows by key, level, degrees and tags together, and shows all again', async () => {
    const page = await library();
    await page.getByText('Narrow down by').click();
    await page
      .getByRole('combobox', { name: 'Key', exact: true })
      .selectOption({ label: 'G blues' });
    const keyed = samples.filter(
      ({ phrase: { key } }) =>
        key.tonic.letter === 'G' && key.tonic.alter === 0 && key.mode === 'blues',
    );
    await page.getByText(`${keyed.length} of 33 phrases`).waitFor();
    await page.getByRole('group', { name: 'Degrees it must have' }).getByLabel('♭3').check();
    await expectAccessible(page);
    await page.getByLabel('With the chord').fill('C7');
    await expect.poll(() => titles(page).then((t) => t.length)).toBeLessThanOrEqual(keyed.length);
    await page.getByLabel('With the chord').fill('F#m7b5');
    await page.getByText('No phrase has all of this.').waitFor();
    await page.getByRole('button', { name: 'Show all again' }).first().click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
  });

  it('says what to ask where no phrase ends with a change', async () => {
    const page = await library();
    await page.getByRole('combobox', { name: 'Find' }).fill('fits:I>vi');
    await page.getByRole('listbox', { name: 'What can stand here' }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Find I>vi anywhere in a phrase' }).click();
    // Those of the samples whose lanes have the two one after the other, by the definition.
    const read = readQuery('I>vi');
    const query = read.ok ? read.value.query : null;
    const having = samples.filter((s) => define(query!, s.phrase).holds).length;
    expect(having).toBeGreaterThan(0);
    await page.getByText(`${having} of 33 phrases`).waitFor();
  });

  it('orders by level', async () => {
    const page = await library();
    await page.getByLabel('Order').selectOption({ label: 'easiest first' });
    const easiest = samples
      .filter((s) => s.phrase.meta.level === 1)
      .map((s) => s.phrase.meta.title)
      .sort();
    await expect
      .poll(async () => (await titles(page)).slice(0, easiest.length).sort())
      .toEqual(easiest);
  });
});

const plain = build('q 3/5(bend:D4) 3/4 2/6=F 1/3', {
  id: 'e2e-pier',
  title: 'Pier <b>10</b>',
  key: 'G blues',
  chords: 'G7',
});

describe('bringing phrases in', () => {
  it('takes every format by picker, in one go, and lists what was not as written', async () => {
    const page = await library();
    const xml = writeMusicXml({
      ...plain,
      id: 'e2e-xml',
      meta: { ...plain.meta, title: 'From XML' },
    });
    // An instrument change in the middle is something that a phrase cannot hold.
    const odd = xml.replace('<measure number="1"', '<!-- --><measure number="1"');
    await bringIn(page, [
      { name: 'pier.json', content: encodePhrase(plain) },
      { name: 'score.musicxml', content: odd },
      {
        name: 'score.mxl',
        content: writeMxl(xml.replaceAll('From XML', 'From packed')),
      },
    ]);
    await page.getByRole('heading', { name: '3 phrases came into the library.' }).waitFor();
    // Text from files is only ever text.
    await page.getByRole('link', { name: 'Pier <b>10</b>' }).first().waitFor();
    expect(await page.locator('.import b').count()).toBe(0);
    await page.getByText('36 phrases', { exact: true }).waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Take them out again' }).click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
  });

  it('a library file comes in whole, once', async () => {
    const page = await library();
    const other = { ...plain, id: 'e2e-second', meta: { ...plain.meta, title: 'Second' } };
    const content = encodeLibrary({
      format: 'degreewise-library',
      version: 2,
      phrases: [plain, other],
    });
    await bringIn(page, [{ name: 'two.json', content }]);
    await page.getByText('35 phrases', { exact: true }).waitFor();
    await bringIn(page, [{ name: 'two.json', content }]);
    await page.getByRole('heading', { name: 'Nothing new came in.' }).waitFor();
    await page.getByText('35 phrases', { exact: true }).waitFor();
    // Changed elsewhere: both are kept, and one is chosen where they are seen beside each other.
    const slower = { ...other, tempo: { ...other.tempo, bpm: 61 } };
    await bringIn(page, [{ name: 'slower.json', content: encodePhrase(slower) }]);
    await page.getByText('36 phrases', { exact: true }).waitFor();
    const marked = page.locator('.card').getByText('Here in two versions');
    await expect.poll(() => marked.count()).toBe(1);
    await page.locator('.import').getByRole('link', { name: 'see what differs' }).click();
    await page.getByRole('heading', { name: 'Two versions of “Second”' }).waitFor();
    await page.getByRole('row', { name: /^Tempo.*61/u }).waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Keep only the version below' }).click();
    await page.getByText('“Second” is kept; the other version can be brought back.').waitFor();
    expect(page.url()).toContain('#/phrase/e2e-second');
    const facts = page.locator('.phrase-page .facts');
    await facts.getByText('quarter = 61').waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await page.getByText('Both versions are there again.').waitFor();
    await expect.poll(() => facts.textContent()).not.toContain('= 61');
  });

  it('a bad file changes nothing and says where and why', async () => {
    const page = await library();
    const raw = JSON.parse(encodePhrase(plain));
    raw.voices[0].events[1].notes[0].fret = 99;
    await bringIn(page, [
      { name: 'fret.json', content: JSON.stringify(raw) },
      { name: 'cut.json', content: '{"format": "degreewise-phrase",' },
      { name: 'cut.musicxml', content: '<score-partwise><part id="P1"><measure' },
      { name: 'song.mid', content: 'MThd\u0000\u0000' },
      { name: 'empty.json', content: '' },
    ]);
    await page
      .getByRole('heading', {
        name: 'None of the 5 files was brought in; the library is as it was.',
      })
      .waitFor();
    const report = await page.locator('.import').textContent();
    expect(report).toMatch(/fret\.json[\s\S]*voices\/0\/events\/1\/notes\/0/u);
    expect(report).toMatch(/cut\.json[\s\S]*[Ll]ine 1/u);
    expect(report).toMatch(/cut\.musicxml[\s\S]*[Ll]ine 1/u);
    expect(report).toMatch(/song\.mid[\s\S]*The MIDI file has no whole header/u);
    expect(report).toContain('The file is empty');
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Close' }).click();
    expect(await page.locator('.import').count()).toBe(0);
  });

  it('takes a file that is dropped', async () => {
    const page = await library();
    const transfer = await page.evaluateHandle((text) => {
      const t = new DataTransfer();
      t.items.add(new File([text], 'dropped.json', { type: 'application/json' }));
      return t;
    }, encodePhrase(plain));
    await page.dispatchEvent('body', 'dragover', { dataTransfer: transfer });
    await page.getByText('Let go to bring the phrases in').waitFor();
    await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
    await page.getByRole('heading', { name: '1 phrase came into the library.' }).waitFor();
  });
});

describe('plain text by picker', () => {
  it('is offered, and comes in as quick text or as tablature', async () => {
    const page = await library();
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in …' }).click();
    const accept = await (await chooser).element().getAttribute('accept');
    expect(accept?.split(',')).toEqual(expect.arrayContaining(['.quick', '.txt']));
    await bringIn(page, [
      { name: 'kitchen door.quick', content: '{A7} e 3:5 7 2:5 8b10 q 5~' },
      { name: 'posted.txt', content: TAB },
    ]);
    await page.getByRole('heading', { name: '2 phrases came into the library.' }).waitFor();
    await page.getByText('35 phrases', { exact: true }).waitFor();
  });
});

/** Tablature as people post it (common practice). */
const TAB = [
  'e|--------|',
  'B|--5-8---|',
  'G|5-----7-|',
  'D|--------|',
  'A|--------|',
  'E|--------|',
].join('\n');

interface FileToPick {
  readonly name: string;
  readonly content: string | Uint8Array;
}

async function bringIn(page: Page, files: readonly FileToPick[]): Promise<void> {
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Bring phrases in …' }).click();
  await (await chooser).setFiles(
    files.map((f) => ({
      name: f.name,
      mimeType: 'application/octet-stream',
      buffer: Buffer.from(f.content),
    })),
  );
}

describe('export', () => {
  const first = samples.find((s) => s.phrase.meta.title === 'Two Doors, One Key')!.phrase;
  const second = samples.find((s) => s.phrase.meta.title === 'Third Rung')!.phrase;
  const read = { newId: () => 'new', now: '2026-11-25T00:00:00Z' };

  async function save(page: Page, format: string): Promise<{ name: string; bytes: Buffer }> {
    await act(page, 'export the chosen');
    await page.getByRole('radio', { name: format }).check();
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Export', exact: true }).last().click();
    const saved: Download = await download;
    await page
      .getByRole('status')
      .filter({ hasText: `Saved as ${saved.suggestedFilename()}` })
      .waitFor();
    return { name: saved.suggestedFilename(), bytes: readFileSync(await saved.path()) };
  }

  it('of one phrase, in every format, reads back', async () => {
    const page = await library();
    await page.getByLabel(`Choose ${first.meta.title}`).check();
    const json = await save(page, 'Degreewise everything');
    expect(json.name).toBe('two-doors-one-key.json');
    const decoded = decodeAny(json.bytes.toString());
    expect(decoded).toEqual({ ok: true, value: { kind: 'phrase', phrase: first } });

    const xml = await save(page, 'MusicXML for');
    expect(checkMusicXml(xml.bytes.toString())).toEqual([]);
    const phrase = readMusicXml(xml.bytes.toString(), read);
    expect(phrase.ok && phrase.value.phrase.voices).toEqual(first.voices);

    const mxl = await save(page, 'MusicXML, packed');
    expect(readMxl(new Uint8Array(mxl.bytes))).toEqual({ ok: true, value: xml.bytes.toString() });

    const text = await save(page, 'Text tab');
    expect(text.bytes.toString()).toContain(first.meta.title);
    expect(text.bytes.toString()).toContain('♭7');

    const quick = await save(page, 'Quick text');
    expect(quick.name).toBe('two-doors-one-key.quick');
    const again = decodeFile(quick.name, new Uint8Array(quick.bytes), read);
    if (!again.ok) throw new Error(again.problems[0]?.message);
    const [back] = again.value.phrases;
    expect([back?.meta.title, back?.chords, back?.voices]).toEqual([
      first.meta.title,
      first.chords,
      first.voices,
    ]);
    await page.getByText('Not kept: whose style it is in').waitFor();

    const svg = await save(page, 'Drawing');
    const drawing = svg.bytes.toString();
    expect(drawing).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg"/u);
    expect(drawing).toContain(`<title>${first.meta.title}</title>`);
    expect(drawing).not.toMatch(/https?:\/\/(?!www\.w3\.org)/u);
    // The signs in use are explained under the music, each by a drawing of it.
    expect(drawing).toContain('class="dw-sign"');
    const files = { S: encodePhrase(first) };
    const io = memoryIo({ files });
    await run(['convert', 'S', '-o', 'S.svg'], io);
    expect(drawing).toBe(new TextDecoder().decode(io.disk.get('S.svg')));

    const png = await save(page, 'Picture');
    expect(png.bytes.subarray(1, 4).toString()).toBe('PNG');
    // Width in the header (PNG, IHDR): 808 px at two dots each.
    expect(png.bytes.readUInt32BE(16)).toBe(1616);
    const boxes = await inkOfTexts(page, drawing, png.bytes.toString('base64'));
    expect(boxes.length).toBeGreaterThan(20);
    expect(boxes.filter((b) => !b.inked)).toEqual([]);
  });

  /** For every text of the drawing, whether the picture has ink where it stands. */
  function inkOfTexts(page: Page, svg: string, png: string) {
    return page.evaluate(
      async ([drawing, picture]) => {
        // The page has the fonts under the same names; its policy would not take them from inside.
        const plain = drawing!.replace(/<style>.*?<\/style>/su, '');
        const root = new DOMParser().parseFromString(plain, 'image/svg+xml').documentElement;
        const place = document.createElement('div');
        place.style.position = 'absolute';
        document.body.append(place);
        place.append(document.importNode(root, true));
        await document.fonts.ready;
        const origin = place.firstElementChild!.getBoundingClientRect();
        const image = new Image();
        image.src = `data:image/png;base64,${picture}`;
        await image.decode();
        const context = new OffscreenCanvas(image.width, image.height).getContext('2d', {
          willReadFrequently: true,
        })!;
        context.drawImage(image, 0, 0);
        const texts = [...place.querySelectorAll('text')].map((t) => {
          const b = t.getBoundingClientRect();
          const [x, y] = [2 * (b.x - origin.x), 2 * (b.y - origin.y)];
          const { data } = context.getImageData(x, y, 2 * b.width, 2 * b.height);
          return { text: t.textContent, inked: data.some((v, i) => i % 4 === 0 && v < 128) };
        });
        place.remove();
        return texts;
      },
      [svg, png],
    );
  }

  it('of several: a library, or an archive with a file each', async () => {
    const page = await library();
    await page.getByLabel(`Choose ${first.meta.title}`).check();
    await page.getByLabel(`Choose ${second.meta.title}`).check();
    await page.getByText('2 phrases chosen').waitFor();
    const json = await save(page, 'Degreewise everything');
    const decoded = decodeAny(json.bytes.toString());
    expect(decoded.ok && decoded.value.kind === 'library' && decoded.value.library.phrases).toEqual(
      [second, first],
    );
    const zip = await save(page, 'MusicXML for');
    expect(zip.name).toBe('phrases.zip');
    const files = unzipSync(new Uint8Array(zip.bytes));
    expect(Object.keys(files).sort()).toEqual([
      'third-rung.musicxml',
      'two-doors-one-key.musicxml',
    ]);
    for (const content of Object.values(files)) {
      expect(checkMusicXml(new TextDecoder().decode(content))).toEqual([]);
    }
    // Text tab is one text, or a file for each.
    const one = await save(page, 'Text tab');
    expect(one.name).toBe('phrases.txt');
    await act(page, 'export the chosen');
    await page.getByRole('radio', { name: 'Text tab' }).check();
    await page.getByRole('checkbox', { name: 'A file for each phrase' }).check();
    await page.getByText('They are written to one zip archive, a file for each.').waitFor();
    await expectAccessible(page);
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Export', exact: true }).last().click();
    const saved = await download;
    expect(saved.suggestedFilename()).toBe('phrases.zip');
    const texts = unzipSync(new Uint8Array(readFileSync(await saved.path())));
    expect(Object.keys(texts).sort()).toEqual(['third-rung.txt', 'two-doors-one-key.txt']);
    const joined = ['third-rung', 'two-doors-one-key'].map((n) =>
      new TextDecoder().decode(texts[`${n}.txt`]),
    );
    expect(joined.join('\n\n')).toBe(one.bytes.toString());
  });
});

describe('removing', () => {
  it('can be undone', async () => {
    const page = await library();
    await page.getByLabel('Choose Third Rung').check();
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByText('32 phrases', { exact: true }).waitFor();
    // What was pressed is gone, and the focus is not lost with it.
    const focus = () => page.evaluate(() => document.activeElement?.id);
    expect(await focus()).toBe('main');
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('33 phrases', { exact: true }).waitFor();
    expect(await focus()).toBe('main');
    expect(await titles(page)).toContain('Third Rung');
    for (const [key, left] of [
      ['y', 32],
      ['z', 33],
    ] as const) {
      await page.getByRole('button', { name: key === 'y' ? 'Do again' : 'Undo' }).waitFor();
      await page.keyboard.press(`Control+${key}`);
      await page.getByText(`${left} phrases`, { exact: true }).waitFor();
    }
  });
});

describe('keyboard', () => {
  it('finds, chooses, exports and opens a phrase without a mouse', async () => {
    const page = await library();
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await act(page, 'find a phrase');
    await page.keyboard.type('third rung');
    await page.getByText('1 of 33 phrases', { exact: true }).waitFor();
    await expect.poll(() => titles(page)).toEqual(['Third Rung']);
    await tabTo(page, 'Third Rung');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Space');
    await page.getByText('1 phrase chosen').waitFor();
    await act(page, 'export the chosen');
    await page.getByRole('dialog', { name: 'Export 1 phrase' }).waitFor();
    const download = page.waitForEvent('download');
    await page.keyboard.press('Enter');
    expect((await download).suggestedFilename()).toBe('third-rung.musicxml');
    await tabTo(page, 'Third Rung');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Third Rung' }).waitFor();
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('main');
    await act(page, 'go to the library');
    await page.getByRole('heading', { level: 1, name: 'Library' }).waitFor();
  });

  it('the list of everything says what is blocked and why', async () => {
    const page = await library();
    await page.keyboard.press('Control+.');
    const option = page.getByRole('option', { name: 'Compare the two chosen phrases' });
    expect(await option.getAttribute('aria-disabled')).toBe('true');
    expect(await option.textContent()).toContain('Choose two phrases first.');
    await page.keyboard.type('zzz');
    await page.getByText('Nothing here is called so.').waitFor();
    await expectAccessible(page);
    await page.keyboard.press('Escape');
    expect(await page.getByRole('dialog').count()).toBe(0);
  });

  /** Presses Tab until a link or button has the focus. */
  async function tabTo(page: Page, name: string): Promise<void> {
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab');
      const text = await page.evaluate(() => document.activeElement?.textContent ?? '');
      if (text === name) return;
    }
    throw new Error(`${name} is not reached by the Tab key`);
  }
});

describe('small windows and large text', () => {
  it.each([
    [320, '100%'],
    [390, '200%'],
  ])(
    'at %i px and text of %s nothing is cut off and every control can be touched',
    async (width, text) => {
      const page = await library();
      await page.setViewportSize({ width, height: 700 });
      await page.evaluate((size) => {
        document.documentElement.style.fontSize = size;
      }, text);
      await page.getByText('Narrow down by').click();
      await page.getByLabel('Choose Third Rung').check();
      const found = await page.evaluate(() => {
        const controls = [...document.querySelectorAll('button, input, select, summary')];
        return {
          scroll: document.documentElement.scrollWidth,
          // The label of a control is touched as well.
          small: controls.flatMap((e) => {
            const { width, height } = (e.closest('label') ?? e).getBoundingClientRect();
            return width > 0 && (width < 44 || height < 44) ? [e.outerHTML.slice(0, 80)] : [];
          }),
        };
      });
      expect(found).toEqual({ scroll: width, small: [] });
    },
  );
});

describe('addresses', () => {
  it('one that is no place says so and leads back', async () => {
    const page = await app.open('#/elsewhere/1');
    await page.getByRole('heading', { name: 'There is no such page' }).waitFor();
    await expectAccessible(page);
    await page.getByRole('link', { name: 'Go to the library' }).click();
    await page.getByRole('heading', { level: 1, name: 'Library' }).waitFor();
  });
});
