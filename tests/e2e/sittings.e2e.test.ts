import { mkdirSync } from 'node:fs';
import path from 'node:path';
import type { BrowserContextOptions, Page } from 'playwright';
import { describe, expect, inject, it } from 'vitest';
import { barSpans } from '../../src/core/phrase/time';
import type { Phrase } from '../../src/core/phrase/types';
import { formatDegree } from '../../src/core/theory/degree';
import { analyse } from '../../src/core/understand/analyse';
import { build } from '../support/build';
import { THOROUGH } from '../support/thorough';
import { musicOf, PLAIN_LINES, TYPED_PHRASES } from '../support/typed-phrases';
import { expectAccessible } from './browser';
import { storedPhrases } from './stored';
import { visits } from './visits';

/**
 * Five people at work, from the first look to what they wanted. With `SITTINGS=folder` every step is
 * kept as a picture, to be looked at.
 */
const address = inject('appAddress');
const pictures = process.env.SITTINGS;

const app = visits();

/** Somebody sits down; `look` keeps what they see. */
async function sitDown(name: string, options: BrowserContextOptions) {
  const page = await app.library(options);
  let step = 0;
  const look = async (what: string) => {
    step += 1;
    if (pictures === undefined) return;
    mkdirSync(pictures, { recursive: true });
    // What comes when the hand rests.
    await page.waitForTimeout(350);
    const file = `${name}-${String(step).padStart(2, '0')}-${what.replaceAll(' ', '-')}.png`;
    await page.screenshot({ path: path.join(pictures, file) });
  };
  return { page, look };
}

const score = (page: Page) => page.getByRole('application');
const where = (page: Page) => page.locator('.where-line');
const type = async (page: Page, ...keys: readonly string[]) => {
  for (const key of keys) await page.keyboard.press(key);
};

/** What is on the disk under a title, once it is there. */
async function phraseCalled(page: Page, title: string): Promise<Phrase> {
  let found: Phrase | undefined;
  await expect
    .poll(async () => {
      found = (await storedPhrases(page)).find((p) => p.meta.title === title);
      return found?.meta.title;
    })
    .toBe(title);
  return found!;
}

describe('a new user writes a first lick', () => {
  it('by looking, with mistakes, and finds it again', async () => {
    const { page, look } = await sitDown('first', { viewport: { width: 1280, height: 860 } });
    await look('the library');
    await page.getByRole('button', { name: 'Write a new phrase' }).click();
    await score(page).locator('svg').first().waitFor();
    await look('an empty bar');
    await type(page, '5', 'Enter', '7');
    await look('two notes as they come');
    // Quarters were meant: the two are set right afterwards, and all that follow.
    await type(page, 'Escape', 'Home', 'Shift+ArrowRight', 'q');
    await look('both made quarters');
    await where(page).getByText('2 notes chosen').waitFor();
    await type(page, 'Escape', 'End', 'ArrowUp', '0');
    // An open string was not meant, and cannot be bent.
    await page.getByRole('button', { name: /^Bend/u }).click({ force: true });
    await where(page).getByText('an open string cannot be bent').waitFor();
    await look('an open string');
    await type(page, 'Backspace', '8');
    await page.getByRole('button', { name: /^Bend/u }).click();
    await where(page).getByText('bent a whole tone to').waitFor();
    await look('a bend');
    const wider = page.getByRole('button', { name: /^Wider/u });
    await wider.click();
    await wider.click();
    // It cannot be wider, and says why when it is pressed all the same.
    await wider.click({ force: true });
    await where(page)
      .getByText(/^Not done: /u)
      .waitFor();
    await look('wider than a hand can');
    await type(page, 'Control+z', 'Control+z');
    await look('taken back');
    await type(page, 'Enter', '5', 'v');
    await look('a full bar');
    await page.getByRole('textbox', { name: 'Title' }).fill('My first one');
    await page.keyboard.press('Enter');
    await expect.poll(() => score(page).evaluate((e) => e === document.activeElement)).toBe(true);
    await page.locator('.part > summary', { hasText: 'Chords' }).click();
    await page.getByRole('button', { name: /^Add a chord on beat 1/u }).click();
    await page.keyboard.type('C7');
    await page.keyboard.press('Enter');
    await look('a chord');
    await expectAccessible(page);
    await page.getByRole('link', { name: 'Done' }).click();
    await page.getByRole('heading', { name: 'My first one' }).waitFor();
    await look('on its page');
    await page.reload();
    await page.getByRole('link', { name: 'Library' }).click();
    await page.getByRole('combobox', { name: 'Find' }).fill('first one');
    await page.getByRole('link', { name: 'My first one' }).waitFor();
    await look('found again');
    const lick = await phraseCalled(page, 'My first one');
    expect(musicOf(lick)).toEqual(
      musicOf(build('q 3/5 3/7 2/8(bend:A4) 2/5(vib)', { key: 'C', chords: 'C7' })),
    );
  });
});

/** Phrases a teacher has in old notes: some in one line, some as six lines of letters. Invented. */
const NOTED: readonly string[] = [
  '[A blues, 4/4] {A7} e 3:5 h7 2:5 8b10 q 5~ r',
  '[A blues, 4/4] e 3:7 2:5 | {D7} 3(e 3:7 5 4:7) h 3:5+2:5',
  '[E blues, 12/8] {E7} q. 2:15 3(e 17 15 3:16) h. 3:14~',
  '[G, 4/4] {G} e 3:g11/12+2:g11/12 3:12+2:12 q r h 4:12+3:11',
  '[D, 4/4] {D7} q 3:g10/11+1:10 e 3:11+1:10 r h 2:10~~',
  '[Am, 3/4] {Am} e 2:10 13 12 q. 10b12',
  '[C, 4/4] {C7} s 3:12 h13 p12 4:14 e 12 q 3:12bq h r',
  '[Bb, 4/4] {Bb6} e 3:10!d 12!u 2:11!d 3:12!u q 10!d r',
  '[E blues, 4/4] {E7} e 6:0 3 5:2 r q 6:0 h 5:2~',
  '[A, 4/4] e 3:6 | {A} q 3:g5/6+2:5 3:6+2:5 e 2:7 p5 q 3:6',
  '[F, 4/4] {F7} q 1:13+2:13 e 1:12+2:12 1:11+2:11 h 1:10+2:10~',
  [
    'e|----------------------|',
    'B|-----------10b12--10--|',
    'G|---9--11--------------|',
    'D|----------------------|',
    'A|----------------------|',
    'E|----------------------|',
  ].join('\n'),
  [
    'e|-12--10-------------|',
    'B|---------13h15-12~--|',
    'G|--------------------|',
    'D|--------------------|',
    'A|--------------------|',
    'E|--------------------|',
  ].join('\n'),
];

/** Looked at step by step, or tried thoroughly: all of the notes. Every day some: one is entered like another. */
const ENTERED =
  THOROUGH || pictures !== undefined
    ? NOTED
    : NOTED.filter((_, i) => i < 2 || i >= NOTED.length - 2);

describe('a teacher with many phrases to enter', () => {
  it('types some and pastes some, one after the other, without the mouse', async () => {
    const { page, look } = await sitDown('teacher', {
      viewport: { width: 1440, height: 900 },
      permissions: ['clipboard-read', 'clipboard-write'],
    });
    let presses = 0;
    const press = async (...keys: readonly string[]) => {
      presses += keys.length;
      await type(page, ...keys);
    };
    /** The list of what can be done; a few letters and Enter. */
    const say = async (words: string) => {
      await page.keyboard.press('Control+.');
      await page.keyboard.type(words);
      await page.keyboard.press('Enter');
    };
    const begin = async () => {
      const before = new URL(page.url()).hash;
      await say('write a new');
      await page.waitForFunction(
        (hash) =>
          window.location.hash !== hash &&
          document.activeElement?.id === 'write-score' &&
          // Until it is there, the score of the phrase before has the keys.
          document.querySelector<HTMLTextAreaElement>('#write-title')?.value === '',
        before,
      );
    };
    const name = async (title: string) => {
      await say('give it a title');
      await page.keyboard.type(title);
      await page.keyboard.press('Enter');
    };

    const typed = [...TYPED_PHRASES, ...PLAIN_LINES];
    for (const [i, line] of typed.entries()) {
      await begin();
      await press(...line.keys);
      await name(`Typed ${i + 1}`);
      await look(line.name);
    }
    for (const [i, line] of typed.entries()) {
      const stored = await phraseCalled(page, `Typed ${i + 1}`);
      expect(musicOf(stored), line.name).toEqual(musicOf(line.expected));
    }

    for (const [i, text] of ENTERED.entries()) {
      await begin();
      await page.evaluate((t) => navigator.clipboard.writeText(t), text);
      await page.keyboard.press('Control+v');
      await where(page).getByText('put in').waitFor();
      await name(`Noted ${i + 1}`);
      await look(`from a note ${i + 1}`);
    }
    const second = await phraseCalled(page, 'Noted 2');
    expect([second.pickup, second.chords.length, second.key.mode]).toEqual([10_080, 1, 'blues']);
    const guessed = await phraseCalled(page, `Noted ${ENTERED.length}`);
    expect(guessed.voices[0].events.every((e) => e.guessed)).toBe(true);

    // One of them over I, again over IV and V, by copying: the form of next week.
    await begin();
    await press(
      'e',
      '5',
      'Enter',
      '7',
      '+',
      '5',
      'Enter',
      '8',
      '+',
      '5',
      'Enter',
      '8',
      '-',
      '8',
      'Enter',
      '5',
    );
    await say('empty bar after');
    await say('empty bar after');
    await say('whole lane');
    await page.keyboard.type('A7 | D7 | E7');
    await look('a lane asked for');
    await page.keyboard.press('Enter');
    await look('a lane answered');
    await expect.poll(() => score(page).evaluate((e) => e === document.activeElement)).toBe(true);
    await look('a lane over three bars');
    await say('choose this bar');
    await where(page).getByText('notes chosen').waitFor();
    await page.keyboard.press('Control+c');
    await press('Escape', 'Home', 'Control+ArrowRight');
    await page.keyboard.press('Control+Shift+V');
    await where(page).getByText('over D').waitFor();
    await look('over the fourth');
    await page.keyboard.press('Control+Shift+V');
    await where(page).getByText('over E').waitFor();
    await name('One thing over three chords');
    await look('over the fifth');
    const three = await phraseCalled(page, 'One thing over three chords');
    const said = analyse(three).readings.map((r) => formatDegree(r.heard.chordDegree!));
    expect(said.slice(8, 16)).toEqual(said.slice(0, 8));
    expect(said.slice(16, 24)).toEqual(said.slice(0, 8));

    await page.goto(`${address}#/`);
    const many = typed.length + ENTERED.length + 1;
    await page.getByText(`${33 + many} phrases`, { exact: true }).waitFor();
    await page.getByRole('combobox', { name: 'Find' }).fill('Noted');
    await page.getByText(new RegExp(`^${ENTERED.length} of`, 'u')).waitFor();
    await look('the cards');
    console.info(`typed: ${presses} presses for ${typed.length + 1} phrases`);
  });
});

describe('a student on a tablet', () => {
  it('changes one note with a finger, tries it elsewhere, and takes it back', async () => {
    const { page, look } = await sitDown('student', {
      viewport: { width: 820, height: 1180 },
      hasTouch: true,
      isMobile: true,
    });
    await page.getByRole('combobox', { name: 'Find' }).fill('third rung');
    // Cards move when the answer comes; a finger waits for it.
    await page.getByText(/^\d+ of 33 phrases$/u).waitFor();
    await page.getByRole('link', { name: 'Third Rung' }).tap();
    await page.getByRole('heading', { level: 1, name: 'Third Rung' }).waitFor();
    await look('the page of a phrase');
    await page.getByRole('link', { name: 'Write in it' }).tap();
    await score(page).locator('svg').first().waitFor();
    await look('open for writing');
    const called = async () => phraseCalled(page, 'Third Rung');
    const frets = (p: Phrase) =>
      p.voices[0].events
        .map((e) => e.notes.map((n) => `${n.string}:${n.fret}`).join('+'))
        .join(' ');
    const before = frets(await called());
    expect(before.split(' ').slice(0, 2)).toEqual(['2:7+3:7', '2:7']);

    // The second note, with a finger on its fret.
    const cell = page.locator('.write-cursor rect');
    await score(page).locator('.system text', { hasText: /^7$/u }).nth(2).tap();
    await where(page).getByText('string 2, fret 7').waitFor();
    await look('at the second note');
    expect((await cell.boundingBox())!.width).toBeGreaterThan(8);
    await page.getByRole('group', { name: 'Digits' }).getByText('9', { exact: true }).tap();
    await expect.poll(async () => frets(await called()).split(' ')[1]).toBe('2:9');
    await look('another fret');

    // The same place on the neck, and the same sound on another string.
    await page.getByRole('button', { name: /^Other string/u }).tap();
    await expect.poll(async () => frets(await called()).split(' ')[1]).not.toBe('2:9');
    await look('on another string');
    const undo = page.locator('.touch').getByRole('button', { name: 'Undo' });
    await undo.tap();
    await undo.tap();
    await expect.poll(async () => frets(await called())).toBe(before);
    await look('taken back');

    await page.setViewportSize({ width: 1180, height: 820 });
    await page.locator('.neck').scrollIntoViewIfNeeded();
    await look('turned on its side');
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(1180);
    await expectAccessible(page);
    await page.getByRole('link', { name: 'Done' }).tap();
    await page.getByRole('heading', { name: 'Third Rung' }).waitFor();
    await look('done');
  });
});

describe('a teacher who prepares I, IV and V of one lick in a new key', () => {
  it('lays out the form first and puts the lick in over its chords', async () => {
    const { page, look } = await sitDown('form', {
      viewport: { width: 1280, height: 860 },
      permissions: ['clipboard-read', 'clipboard-write'],
    });
    let presses = 0;
    const press = async (...keys: readonly string[]) => {
      presses += keys.length;
      await type(page, ...keys.map((k) => (k === ' ' ? 'Space' : k)));
    };
    /** A key that opens a dialog, what it is told, and Enter. */
    const tell = async (keys: readonly string[], dialog: string, answer: string) => {
      await press(...keys);
      await page.getByRole('dialog', { name: dialog }).waitFor();
      await press(...answer, 'Enter');
      await expect.poll(() => score(page).evaluate((e) => e === document.activeElement)).toBe(true);
    };
    const begin = async () => {
      const before = new URL(page.url()).hash;
      await press('Control+.', ...'write a new', 'Enter');
      await page.waitForFunction(
        (hash) =>
          window.location.hash !== hash &&
          document.activeElement?.id === 'write-score' &&
          document.querySelector<HTMLTextAreaElement>('#write-title')?.value === '',
        before,
      );
    };

    // The lick as it is known, in A.
    await begin();
    await tell(['S'], 'Set it up in one line', 'A blues 96 {A7} Lick');
    await press(...'e5', '+', '8', '-', ...'7', 'Enter', ...'5', '-', '7', 'Enter', '5', 'v');
    await look('the lick');
    await page.getByText('Saved.', { exact: true }).waitFor();
    const lick = await phraseCalled(page, 'Lick');
    const wanted = analyse(lick).readings.map((r) => formatDegree(r.heard.chordDegree!));
    expect(wanted.length).toBeGreaterThan(4);
    await page.keyboard.press('Control+a');
    await page.keyboard.press('Control+c');
    await where(page).getByText('copied').waitFor();

    // The form in another key, then the lick over its I, IV and V.
    await begin();
    await tell(['S'], 'Set it up in one line', 'Eb 12b 104 Three Doors');
    await look('the form');
    const bars = async (count: number) => press('Home', ...Array(count).fill('Control+ArrowRight'));
    for (const [chord, bar] of [
      ['E♭', 0],
      ['A♭', 4],
      ['B♭', 8],
    ] as const) {
      await bars(bar);
      await page.keyboard.press('Control+Shift+V');
      await where(page).getByText(`over ${chord}`).waitFor();
      await look(`over ${chord}`);
    }
    // Bar 2 as bar 1, into the bar that is there already.
    await press('Home', '&');
    await where(page).getByText('into empty bars').waitFor();
    await look('once more');
    await page.getByText('Saved.', { exact: true }).waitFor();
    const three = await phraseCalled(page, 'Three Doors');
    expect(three.bars.length).toBe(12);
    const spans = barSpans(three);
    const degrees = (bar: number) =>
      analyse(three)
        .readings.filter(({ at }) => {
          const { start, end } = spans[bar]!;
          return at.onset >= start && at.onset < end;
        })
        .map((r) => formatDegree(r.heard.chordDegree!));
    for (const bar of [0, 1, 4, 8]) expect(degrees(bar), `bar ${bar + 1}`).toEqual(wanted);
    for (const bar of [2, 3, 5, 11]) expect(degrees(bar), `bar ${bar + 1}`).toEqual([]);
    await expectAccessible(page);
    console.info(`form first: ${presses} presses for the lick and its three places`);
  });
});

describe('somebody with a phone', () => {
  it('writes four bars with a unison bend, by touch alone', async () => {
    const { page, look } = await sitDown('phone', {
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    const begin = page.getByRole('button', { name: 'Write a new phrase' });
    await begin.tap();
    await score(page).locator('svg').first().waitFor();
    // Only looked at and left behind, it leaves nothing.
    await page.getByRole('link', { name: 'Library', exact: true }).tap();
    await page.getByText('33 phrases', { exact: true }).waitFor();
    // Who goes back to it finds it again; a window that is closed meanwhile leaves nothing either.
    await page.goBack();
    await score(page).locator('svg').first().waitFor();
    await page.reload();
    await score(page).locator('svg').first().waitFor();
    const app = page.url().replace(/#.*/u, '');
    await page.goto('about:blank');
    await page.goto(`${app}#/`);
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await begin.tap();
    await score(page).locator('svg').first().waitFor();
    await page.locator('.touch-keys button').first().waitFor();
    await look('an empty bar');
    await page.getByRole('button', { name: /^Set it up/u }).tap();
    const dialog = page.getByRole('dialog', { name: 'Set it up in one line' });
    // What the keyboard of the phone would type.
    await dialog.getByRole('textbox').fill('D blues 84 {I7 | IV7 | I7 | V7} Two Strings');
    await look('set up');
    await dialog.getByRole('button', { name: 'Set it up', exact: true }).tap();
    const keys = page.locator('.touch-keys');
    const tap = async (...names: readonly string[]) => {
      for (const name of names) await keys.getByRole('button', { name, exact: true }).tap();
    };
    const on = 'Go on to the next moment';
    // Bar 1: a unison bend of a half note, then two quarters.
    await tap(
      'Make it a half note',
      'Go to the next higher string',
      'Write fret 1',
      'Write fret 3',
    );
    await page.getByRole('button', { name: /^Unison bend/u }).tap();
    await where(page).getByText('Unison bend').waitFor();
    await look('a unison bend');
    await tap(on, 'Make it a quarter', 'Write fret 1', 'Write fret 0', on);
    await tap('Go to the next lower string', 'Write fret 1', 'Write fret 2', on);
    await look('a bar');
    // Bar 2 as bar 1; bars 3 and 4 by hand.
    await tap('Go back to the moment before');
    await page.getByRole('button', { name: /^More/u }).tap();
    await page.getByRole('combobox', { name: 'Say what you want to do' }).fill('repeat what');
    await page.getByRole('option', { name: /^Repeat what is chosen/u }).tap();
    await where(page).getByText('Bar 1 repeated').waitFor();
    await look('repeated');
    const phrase = async () => phraseCalled(page, 'Two Strings');
    const told = (p: Phrase) =>
      p.voices[0].events
        .map((e) => e.notes.map((n) => `${n.string}/${n.fret}`).join('+'))
        .join(' ');
    await expect
      .poll(async () => told(await phrase()))
      .toBe('2/13+3/15 2/10 3/12 2/13+3/15 2/10 3/12');
    await tap(on, on, on, 'Make it a whole note', 'Write fret 1', 'Write fret 2', on);
    await tap('Write fret 1', 'Write fret 1');
    await where(page)
      .getByText(/^Bar 4, /u)
      .waitFor();
    await look('four bars');
    const done = await phrase();
    expect(done.bars.length).toBe(4);
    expect(done.voices[0].events.length).toBe(8);
    for (const e of [done.voices[0].events[0]!, done.voices[0].events[3]!]) {
      // MUSIC: on G and B the bent string starts two frets above, and reaches the other's pitch.
      const [plain, bent] = e.notes;
      if (plain.kind !== 'pitched' || bent?.kind !== 'pitched') throw new Error('no pair');
      expect([plain.string, plain.fret, bent.string, bent.fret]).toEqual([2, 13, 3, 15]);
      expect(bent.bend).toMatchObject({ shape: 'bend', target: plain.pitch });
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    await expectAccessible(page);
  });
});
