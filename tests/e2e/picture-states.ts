import type { Page } from 'playwright';

/** Something to take a picture of. */
export interface State {
  readonly name: string;
  /** The address from `#` on. */
  readonly place: string;
  readonly act?: (page: Page) => Promise<unknown>;
  /** Only what the window shows, where something sticks to its edge. */
  readonly window?: true;
  /** Also on paper. */
  readonly paper?: true;
}

const DOORS = '#/phrase/sample-07-two-doors-one-key';
const TWELVE = '#/phrase/sample-06-twelve-at-the-salt-loft';
const VOICES = '#/phrase/sample-14-breakwater-morning';
const BENDS = '#/phrase/sample-19-milk-cart-bends';
const print = (place: string, query = '') => place.replace('phrase', 'print') + query;

const press = (page: Page, name: string | RegExp) =>
  page.getByRole('button', { name }).first().click();
const unfold = (title: string) => (page: Page) =>
  page.locator('summary', { hasText: title }).first().click();
const choose = async (page: Page) => {
  for (const i of [0, 1, 2]) await page.locator('.choose input').nth(i).check();
};
const practise = async (page: Page) => {
  await choose(page);
  await press(page, 'Make a lesson');
  await press(page, 'Practise this');
  await page.locator('#turn-name').waitFor();
};
const say = async (page: Page, what: string) => {
  await page.keyboard.press('Control+.');
  await page.getByRole('combobox', { name: 'Say what you want to do' }).fill(what);
};
const keys = async (page: Page, list: string) => {
  await page.locator('.write-score').focus();
  for (const key of list.split(' ')) await page.keyboard.press(key);
};
const bringIn = async (page: Page) => {
  const chooser = page.waitForEvent('filechooser');
  await press(page, 'Bring phrases in …');
  const file = (name: string, text: string) => ({
    name,
    mimeType: 'text/plain',
    buffer: Buffer.from(text),
  });
  await (await chooser).setFiles([
    file('torn.json', '{"format": "degreewise", "version": 1, "title": '),
    file(
      'notes.txt',
      'e|--5--8--|\nB|--------|\nG|--------|\nD|--------|\nA|--------|\nE|--------|',
    ),
  ]);
  await page.locator('.import').waitFor();
};
/** A score brought in, with the choice of another part or octave unfolded. */
const readAgain = async (page: Page) => {
  const chooser = page.waitForEvent('filechooser');
  await press(page, 'Bring phrases in …');
  await (await chooser).setFiles('tests/golden/musicxml/pickup-tie-tab-only.musicxml');
  await page.locator('.import').waitFor();
  await unfold('Read another part')(page);
};
/** Puts half a record in the place of a whole one, as a bad disk would. */
const damage = async (page: Page) => {
  await page.evaluate(`new Promise((done, failed) => {
    const opening = indexedDB.open('degreewise');
    opening.onerror = () => failed(opening.error);
    opening.onsuccess = () => {
      const writing = opening.result.transaction('records', 'readwrite');
      const store = writing.objectStore('records');
      store.get('sample-08-spiral-stair').onsuccess = (e) =>
        store.put({ ...e.target.result, text: e.target.result.text.slice(0, 90) });
      writing.oncomplete = () => { opening.result.close(); done(); };
    };
  })`);
  await page.reload();
  await page.locator('.damaged').waitFor();
};
const empty = async (page: Page) => {
  await say(page, 'remove the samples');
  await page.keyboard.press('Enter');
  await page.locator('.empty').waitFor();
};
const blank = async (page: Page) => {
  await press(page, 'Write a new phrase');
  await page.locator('.write-score svg').first().waitFor();
};

/** What each part of the writing page looks like unfolded. */
const PARTS: readonly State[] = [
  {
    name: 'write-bend-shape',
    place: `${BENDS}/write`,
    act: async (page) => {
      await keys(page, 'Control+a');
      await unfold('Shape of the bend')(page);
    },
  },
  { name: 'write-chords', place: `${TWELVE}/write`, act: unfold('Chords') },
  { name: 'write-frame', place: `${DOORS}/write`, act: unfold('Metre, key') },
  {
    name: 'write-text',
    place: `${DOORS}/write`,
    act: async (page) => {
      await unfold('As text')(page);
      await page.getByLabel('The phrase as text').fill('q 3:5 7 ?? 8');
      await page.locator('.quick-mistakes pre').first().waitFor();
    },
  },
  { name: 'write-midi', place: `${DOORS}/write`, act: unfold('From a MIDI') },
];

/** Every page, and every state of it that looks different. Each is reached in a new profile. */
export const STATES: readonly State[] = [
  { name: 'library', place: '#/', paper: true },
  { name: 'library-top', place: '#/', window: true },
  { name: 'library-nothing-found', place: '#/?find=accordion&key=Bb' },
  { name: 'library-narrow', place: '#/', act: unfold('Narrow down'), window: true },
  {
    name: 'library-found',
    place: '#/?find=blues&levels=2,3',
    // With the sign that empties the field.
    act: (p) => p.locator('#find').focus(),
  },
  { name: 'library-chosen', place: '#/', act: choose, window: true },
  {
    name: 'library-lines',
    place: '#/',
    act: async (page) => {
      await page.getByLabel('Show as').selectOption('lines');
      await page.locator('.phrase-line').first().waitFor();
    },
    window: true,
  },
  {
    name: 'library-in-order',
    place: '#/',
    act: async (page) => {
      await choose(page);
      await press(page, 'Put in order …');
    },
    window: true,
  },
  { name: 'collections', place: '#/collections' },
  { name: 'plan', place: '#/', act: practise },
  {
    name: 'lesson',
    place: '#/',
    act: async (page) => {
      await choose(page);
      await press(page, 'Make a lesson');
      await page.getByRole('button', { name: 'Practise this' }).first().waitFor();
    },
  },
  { name: 'lessons', place: '#/lessons' },
  { name: 'solo', place: '#/solo' },
  { name: 'vary', place: `${DOORS}/vary` },
  { name: 'catch', place: '#/catch' },
  { name: 'tags', place: '#/tags' },
  { name: 'removed', place: '#/removed' },
  { name: 'cut', place: `${TWELVE}/cut` },
  {
    name: 'versions',
    place: DOORS,
    act: async (page) => {
      await page.getByRole('button', { name: /^Change title/u }).click();
      await page.getByLabel('Title').fill('Two Doors, Two Keys');
      await page.getByRole('link', { name: 'Earlier versions of this phrase' }).click();
      await page.getByRole('button', { name: 'Compare with now' }).click();
    },
  },
  { name: 'given', place: DOORS, act: (p) => press(p, 'Give it as a link'), window: true },
  { name: 'actions', place: '#/', act: (p) => say(p, ''), window: true },
  { name: 'actions-write', place: `${DOORS}/write`, act: (p) => say(p, 'bend'), window: true },
  {
    name: 'export',
    place: '#/',
    window: true,
    act: async (page) => {
      await choose(page);
      await page
        .locator('.choice-bar')
        .getByRole('button', { name: /^Export/u })
        .click();
    },
  },
  { name: 'phrase', place: DOORS, paper: true },
  { name: 'phrase-top', place: DOORS, window: true },
  { name: 'phrase-long', place: TWELVE, paper: true },
  { name: 'phrase-voices', place: VOICES },
  { name: 'phrase-fields', place: BENDS, act: (p) => press(p, /^Change title/u) },
  { name: 'phrase-places', place: DOORS, act: unfold('Other places') },
  {
    name: 'phrase-family',
    place: `${DOORS}/move?to=IV7`,
    act: async (page) => {
      await press(page, 'Keep as a new phrase');
      await page.getByText('Made from').waitFor();
    },
  },
  { name: 'move', place: `${DOORS}/move` },
  {
    name: 'move-unfolded',
    place: `${DOORS}/move`,
    act: async (page) => {
      for (const fold of await page.locator('.move-page summary').all()) await fold.click();
    },
  },
  { name: 'move-result', place: `${BENDS}/move?to=IVmaj7`, paper: true },
  { name: 'move-hold', place: `${DOORS}/move?to=IVmaj7&way=hold` },
  {
    name: 'move-unplayable',
    place: '#/phrase/sample-02-tin-roof-walk/move?to=bII7&hand=shape',
  },
  { name: 'move-refused', place: `${TWELVE}/move?lane=I7|IV7` },
  {
    name: 'compare',
    place: '#/compare/sample-07-two-doors-one-key/sample-26-four-stairs-down',
    paper: true,
  },
  { name: 'print', place: print(DOORS), paper: true },
  { name: 'print-long', place: print(TWELVE), paper: true },
  { name: 'print-voices', place: print(VOICES, '?paper=letter'), paper: true },
  { name: 'print-degrees', place: print(BENDS, '?show=degrees'), paper: true },
  { name: 'write-blank', place: '#/', act: blank, window: true },
  { name: 'write', place: `${DOORS}/write`, paper: true },
  { name: 'write-top', place: `${DOORS}/write`, window: true },
  {
    name: 'write-block',
    place: `${BENDS}/write`,
    window: true,
    act: (p) => keys(p, 'Shift+ArrowRight Shift+ArrowRight Shift+ArrowDown'),
  },
  {
    name: 'write-refused',
    place: `${BENDS}/write`,
    window: true,
    act: (p) => keys(p, 'F b 3 T'),
  },
  ...PARTS,
  {
    name: 'write-frame-dialog',
    place: `${DOORS}/write`,
    window: true,
    act: async (page) => {
      await unfold('Metre, key')(page);
      await page.locator('.frame-rows button').nth(1).click();
    },
  },
  { name: 'keys', place: '#/help/keys', paper: true },
  { name: 'unknown', place: '#/nowhere/at/all' },
  { name: 'no-such-phrase', place: '#/phrase/nothing-of-this-name' },
  { name: 'library-import', place: '#/', act: bringIn },
  { name: 'library-read-again', place: '#/', act: readAgain },
  { name: 'library-damaged', place: '#/', act: damage },
  { name: 'library-empty', place: '#/', act: empty },
];
