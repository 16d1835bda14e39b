/**
 * A teacher's sitting: from twenty phrases in a folder to a printed lesson of two pages with a solo over twelve bars.
 * `npx tsx tests/e2e/teacher-sitting.ts BUILT-APP FOLDER` presses and types what a person would, counts it, says what
 * that takes a person, and leaves a picture of each step and the pages in FOLDER.
 */
import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Page } from 'playwright';
import { TWENTY } from '../support/twenty-phrases';
import { launchBrowser, visit } from './browser';
import { Person } from './person';
import { serveFolder } from './serve-folder';

const [app, folder] = process.argv.slice(2);
if (app === undefined || folder === undefined) throw new Error('name a built app and a folder');
mkdirSync(folder, { recursive: true });

let step = 0;
async function look(who: Person, what: string, seconds: number, full = false): Promise<void> {
  who.look(seconds);
  step += 1;
  const name = `${String(step).padStart(2, '0')}-${what.replaceAll(' ', '-')}`;
  await who.page.waitForTimeout(400);
  await who.page.screenshot({ path: path.join(folder!, `${name}.png`), fullPage: full });
  console.log(`${who.seconds.toFixed(0).padStart(4)} s, ${who.actions} actions: ${what}`);
}

const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first();
const settled = (page: Page) =>
  page
    .getByRole('status')
    .filter({ hasText: /phrases? laid over the form/u })
    .waitFor();
const bar = (page: Page, n: number) => page.locator(`[data-bar="${n}"]`);

async function twentyPhrases(who: Person): Promise<void> {
  const { page } = who;
  await page.getByText('33 phrases', { exact: true }).waitFor();
  await look(who, 'the library', 5);
  const choosing = page.waitForEvent('filechooser');
  await who.press(button(page, 'Bring phrases in'));
  await (await choosing).setFiles(
    TWENTY.map(({ title, text }) => {
      return { name: `${title}.quick`, mimeType: 'text/plain', buffer: Buffer.from(text) };
    }),
  );
  // In the window of the system: all files of the folder, and open.
  who.look(4);
  await page
    .getByText(/20 phrases/u)
    .first()
    .waitFor();
  await look(who, 'brought in', 5);
}

async function theSolo(who: Person): Promise<void> {
  const { page } = who;
  await who.press(page.getByRole('link', { name: /Solo/u }).first());
  await settled(page);
  await look(who, 'the form', 10);
  // A phrase is found and dragged onto a bar.
  await who.press(page.getByLabel('Title or tag'));
  await who.type('back');
  await who.drag(page.locator('.phrase-shelf li').first(), bar(page, 1));
  await page.locator('[data-bar="1"]', { hasText: 'Back Stairs' }).waitFor();
  await settled(page);
  await look(who, 'dragged onto bar 1', 5);
  // One that was proposed is kept, another is exchanged and heard.
  await who.press(bar(page, 9));
  await who.press(button(page, 'Pin it'));
  await page.locator('.pin-sign').nth(1).waitFor();
  await settled(page);
  await who.press(bar(page, 5));
  await page.locator('.solo-others li').first().waitFor();
  const before = await laid(page);
  await who.press(button(page, 'Exchange for the next best'));
  await changed(page, before);
  await look(who, 'exchanged in bar 5', 6);
  const exchanged = await laid(page);
  await who.press(button(page, 'Another chorus'));
  await changed(page, exchanged);
  await look(who, 'another chorus', 10, true);
  await who.press(button(page, 'Listen'));
  // Twelve bars at 110.
  await look(who, 'heard', 26);
  await page.keyboard.press('Escape');
}

async function byHand(who: Person): Promise<void> {
  const { page } = who;
  await who.press(button(page, 'Keep it as a phrase'));
  await page.getByRole('heading', { level: 1, name: /^Solo over/u }).waitFor();
  await look(who, 'kept', 4);
  await who.press(page.getByRole('link', { name: 'Write in it' }));
  await page.locator('.write-score svg').first().waitFor();
  await who.keys('ArrowRight', 'ArrowRight');
  await who.keys('7');
  await page.getByRole('region', { name: 'Changed in a part' }).waitFor();
  await look(who, 'changed in a part', 6, true);
  await who.press(button(page, /^Let it go its own way/u));
  await who.press(page.getByRole('link', { name: /^Done/u }).first());
  await page.getByRole('heading', { level: 1, name: /^Solo over/u }).waitFor();
}

/** An exercise about a phrase of the library, at the end of the lesson. */
async function exercise(who: Person, what: string, title: string): Promise<void> {
  const add = who.page.locator('.lesson-add');
  await who.choose(add.getByRole('combobox', { name: /^What/u }), what);
  const of = add.getByRole('combobox', { name: 'Of', exact: true });
  await who.choose(of, 'another phrase of the library …');
  await who.choose(add.getByRole('combobox', { name: 'From the library' }), title);
  const there = who.page.locator('.lesson-item');
  const many = await there.count();
  await who.press(add.getByRole('button', { name: 'Add it' }));
  await there.nth(many).waitFor();
}

async function theLesson(who: Person): Promise<void> {
  const { page } = who;
  await who.press(button(page, 'Make a lesson of it'));
  const title = page.getByLabel('Title of the lesson');
  await title.waitFor();
  await who.press(title);
  await who.keys('Control+a');
  await who.type('A chorus in A');
  await who.press(page.getByLabel('What it is for'));
  await who.type('Play the chorus with the band, then take two of its phrases apart.');
  await look(who, 'a lesson of the solo', 5, true);
  // Its form has come along.
  await page.locator('.lesson-item', { hasText: 'The form: twelve-bar blues in A' }).waitFor();
  await exercise(who, 'exercise: through I, IV and V', 'Back Stairs');
  await exercise(who, 'exercise: fill the gaps', 'Long Shelf');
  await page.getByText('Saved.').waitFor();
  await look(who, 'the lesson', 20, true);
}

/** The size that makes two pages is chosen, and they are printed, on both papers. */
async function onPaper(who: Person): Promise<readonly string[]> {
  const { page } = who;
  const fields = page.getByRole('group', { name: 'On paper' });
  const told = () => fields.getByText(/^\d+ pages?\.$/u).textContent();
  const results: string[] = [];
  for (const paper of ['A4', 'Letter']) {
    await fields.getByLabel('Paper').selectOption({ label: paper });
    await page.waitForTimeout(700);
    if ((await told()) !== '2 pages.') await who.choose(fields.getByLabel('Size'), 'middle');
    await page.waitForTimeout(700);
    const stem = path.join(folder!, `lesson-${paper}`);
    writeFileSync(`${stem}.pdf`, await page.pdf({ preferCSSPageSize: true }));
    execFileSync('pdftoppm', ['-r', '70', '-png', `${stem}.pdf`, stem]);
    const size = await fields.getByLabel('Size').inputValue();
    results.push(`${paper}, ${size}: told ${await told()}`);
  }
  // Print, and print in the window of the system.
  who.look(3);
  await who.press(page.locator('.lesson-head').getByRole('button', { name: 'Print' }));
  return results;
}

const laid = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('.form-bars button')].map((b) => b.textContent).join('/'),
  );

async function changed(page: Page, before: string): Promise<void> {
  await page.waitForFunction(
    (old) =>
      [...document.querySelectorAll('.form-bars button')].map((b) => b.textContent).join('/') !==
      old,
    before,
  );
  await settled(page);
}

const served = await serveFolder(app);
const browser = await launchBrowser();
try {
  const viewport = { width: 1280, height: 900 };
  const { page, complaints } = await visit(browser, served.address, '#/', { viewport });
  // Nothing is printed by a browser without a window.
  await page.addInitScript(() => {
    window.print = () => undefined;
  });
  // On a machine that has much else to do.
  page.setDefaultTimeout(240_000);
  const who = new Person(page);
  try {
    await twentyPhrases(who);
    await theSolo(who);
    await byHand(who);
    await theLesson(who);
    for (const line of await onPaper(who)) console.log(line);
    await look(who, 'printed', 0);
  } catch (reason) {
    process.exitCode = 1;
    console.log(String(reason));
    await look(who, 'stuck', 0, true);
  }
  console.log(JSON.stringify(who.counted), `and ${who.looked} s of looking and listening`);
  for (const line of complaints) console.log(line);
  if (complaints.length > 0) process.exitCode = 1;
} finally {
  await browser.close();
  await served.close();
}
