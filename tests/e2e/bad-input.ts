import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import { launchBrowser, visit } from './browser';
import { STATES } from './picture-states';
import { serveFolder } from './serve-folder';

/**
 * Types what nobody means into every field of every page and state, one after the other, and chooses wrong files where one is asked for:
 * `npx tsx tests/e2e/bad-input.ts [NAME]`; NAME is a regular expression, of which states. For each field it
 * prints what the page says, and what went wrong: exceptions, a page that gave up, one that
 * became wider than its window. Ends with 1 where anything did.
 */
const WRONG: readonly (readonly [name: string, text: string])[] = [
  ['nothing', ''],
  ['blanks', '   '],
  ['5,000 letters', 'Long after the ferry '.repeat(238)],
  ['one long word', 'x'.repeat(400)],
  ['emoji', '🎸👩🏽‍🎤🇩🇰'],
  ['right to left', 'שלום عالم ‮ABC'],
  ['HTML', '<script>window.ran = true</script><img src=x onerror="window.ran = true">'],
  ['negative', '-17'],
  ['huge', '1e308'],
  ['no number', 'NaN'],
  ['control characters', 'a\u0000b\u0007c'],
];

/** What is chosen where a file is asked for; the first is as large as a film. */
const FILES: readonly (readonly [name: string, content: Buffer])[] = [
  ['nothing.mid', Buffer.alloc(0)],
  ['notes.mid', Buffer.from('Not one note in it.')],
  ['picture.musicxml', Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')],
  ['torn.mxl', Buffer.from('504b0304140000000800', 'hex')],
  ['torn.json', Buffer.from('{"format":"degreewise","version":4,"id":"x","voices":[{')],
  ['deep.json', Buffer.from('['.repeat(200_000))],
  ['other.json', Buffer.from('{"name":"something else","version":1}')],
  ['zeros.txt', Buffer.alloc(100_000)],
  ['words.wav', Buffer.from('RIFF and nothing that sounds')],
  [
    'short.wav',
    Buffer.from('524946462400000057415645666d7420100000000100010044ac000088580100', 'hex'),
  ],
];
/** With FILES=1 nothing is typed. */
const FILES_ONLY = process.env.FILES === '1';
/** What is said meanwhile, or for another reason. */
const PASSING = /^(?:Reading|Listening|Stop$|Move it back|Move it to)/u;
const FILM = 'film.mp4';
const FILM_BYTES = 300 * 1024 * 1024;

const FIELDS =
  'input:not([type=checkbox], [type=radio], [type=file], [type=range], [type=hidden], [type=submit]), textarea';

async function main(word: string): Promise<number> {
  const root = path.resolve(import.meta.dirname, '../..');
  mkdirSync(path.join(root, 'dist'), { recursive: true });
  const folder = process.env.APP ?? mkdtempSync(path.join(root, 'dist', 'app-bad-input-'));
  if (process.env.APP === undefined) {
    await buildApp({ root, logLevel: 'error', build: { outDir: folder } });
  }
  const files = mkdtempSync(path.join(tmpdir(), 'bad-input-'));
  const film = path.join(files, FILM);
  writeFileSync(film, '');
  truncateSync(film, FILM_BYTES);
  const served = await serveFolder(folder);
  const browser = await launchBrowser();
  let faults = 0;
  try {
    for (const state of STATES.filter((s) => new RegExp(word).test(s.name))) {
      const { page, context, complaints } = await visit(browser, served.address, '#/');
      page.setDefaultTimeout(20_000);
      await page.getByText('33 phrases', { exact: true }).waitFor();
      const there = async () => {
        await page.evaluate((hash) => {
          window.location.hash = hash;
        }, state.place);
        await page.waitForTimeout(500);
        await state.act?.(page);
        await page.waitForTimeout(300);
      };
      const told = await there().then(
        async () => [
          ...(FILES_ONLY ? [] : await walk(page, complaints)),
          ...(await choose(page, complaints, film)),
        ],
        (e: unknown) => [`  not reached: ${String(e).split('\n')[0]}`],
      );
      faults += told.filter((l) => l.includes('FAULT')).length;
      console.log([state.name, ...(told.length > 0 ? told : ['  nothing to fill in'])].join('\n'));
      await context.close();
    }
  } finally {
    await browser.close();
    await served.close();
    rmSync(files, { recursive: true });
    if (process.env.APP === undefined) rmSync(folder, { recursive: true, force: true });
  }
  console.log(`${faults} faults`);
  return faults;
}

/** What each field of a page makes of each text. */
async function walk(page: Page, complaints: string[]): Promise<readonly string[]> {
  const lines: string[] = [];
  const fields = page.locator(FIELDS);
  const count = Math.min(await fields.count(), MOST);
  for (let i = 0; i < count; i++) {
    const field = fields.nth(i);
    const name = await field
      .evaluate((e: Element) => {
        const f = e as HTMLInputElement;
        const called = f.labels?.[0]?.textContent ?? f.getAttribute('aria-label') ?? f.placeholder;
        return e.checkVisibility() ? `${called.trim().slice(0, 60)} [${f.type}]` : null;
      })
      .catch(() => null);
    if (name === null) continue;
    const said = new Map<string, string[]>();
    for (const [kind, text] of WRONG) {
      complaints.length = 0;
      const answer = await enter(page, field, text).catch(
        (e) => `not typed: ${String(e).split('\n')[0]}`,
      );
      if (answer === null) break;
      said.set(answer, [...(said.get(answer) ?? []), kind]);
      const wrong = [...complaints, ...(await page.evaluate<string[]>(STANDING))];
      if (wrong.length > 0)
        lines.push(`  FAULT ${name}, ${kind}: ${wrong.join(' | ').slice(0, 300)}`);
    }
    lines.push(`  ${name}`);
    for (const [answer, kinds] of said)
      lines.push(`    ${kinds.join(', ')}: ${answer || '(taken)'}`);
  }
  return lines;
}

/** What is said of each wrong file, by every field and button that asks for one. */
async function choose(page: Page, complaints: string[], film: string): Promise<readonly string[]> {
  const lines: string[] = [];
  const asks = [
    ...(await page.locator('input[type=file]').all()),
    ...(await page.getByRole('button', { name: /^Bring phrases in/u }).all()),
  ];
  // Behind a dialog nothing can be pressed.
  const behind = (await page.locator('dialog:modal').count()) > 0;
  for (const ask of behind ? [] : asks.slice(0, 1)) {
    for (const [name, content] of [...FILES, [FILM, null] as const]) {
      complaints.length = 0;
      const before = new Set(await page.evaluate<string[]>(LINES));
      const chooser = page.waitForEvent('filechooser');
      await ask.click();
      const began = performance.now();
      await (await chooser).setFiles(
        content === null ? film : { name, mimeType: '', buffer: content },
      );
      const said = async () => {
        const now = await page.evaluate<string[]>(LINES);
        return now.filter((l) => !before.has(l) && !PASSING.test(l));
      };
      let news = await said();
      while (news.length === 0 && performance.now() - began < 15_000) {
        await page.waitForTimeout(100);
        news = await said();
      }
      const wrong = [
        ...complaints,
        ...(await page.evaluate<string[]>(STANDING)),
        ...(news.length === 0 ? ['nothing was said'] : []),
        ...news.filter((l) => l.includes('..')).map((l) => `two full stops: ${l}`),
      ];
      const seconds = ((performance.now() - began) / 1000).toFixed(1);
      if (wrong.length > 0) lines.push(`  FAULT ${name}: ${wrong.join(' | ').slice(0, 300)}`);
      lines.push(`  file ${name}, ${seconds} s: ${news.join(' / ').slice(0, 240)}`);
      const close = page.getByRole('button', { name: 'Close', exact: true }).first();
      if (await close.isVisible()) await close.click();
    }
  }
  return lines;
}

/** Of a page with hundreds of fields alike. */
const MOST = 30;

type Field = ReturnType<Page['locator']>;

/** Puts a text in as typing does and leaves the field. @returns what is said then; null where the field is gone. */
async function enter(page: Page, field: Field, text: string): Promise<string | null> {
  if (!(await field.isVisible()) || !(await field.isEnabled())) return null;
  await field.focus();
  await page.keyboard.press('Control+a');
  await page.keyboard.press('Delete');
  await page.waitForTimeout(150);
  const before = new Set(await page.evaluate<string[]>(LINES));
  const news: string[] = [];
  const look = async () => {
    await page.waitForTimeout(150);
    for (const l of await page.evaluate<string[]>(LINES)) {
      if (!before.has(l) && !news.includes(l) && !l.includes(text.trim() || '\n')) news.push(l);
    }
  };
  await page.keyboard.insertText(text);
  await look();
  await field.evaluate((e) => (e as HTMLElement).blur());
  await look();
  return news
    .slice(0, 3)
    .map((l) => l.slice(0, 160))
    .join(' / ');
}

/* As text, since what transpiles this file puts helpers into functions that the page does not have. */
const LINES = `document.body.innerText.split('\\n').map((l) => l.trim()).filter((l) => l !== '')`;
const STANDING = `[
  ...('ran' in window ? ['something was run'] : []),
  ...(document.querySelector('main h1, main h2, main article, dialog[open]') === null ? ['the page is gone'] : []),
  ...(/could not be shown|went wrong/u.test(document.body.innerText) ? ['the page gave up'] : []),
  ...(document.documentElement.scrollWidth > document.documentElement.clientWidth
    ? ['wider than the window by ' + (document.documentElement.scrollWidth - document.documentElement.clientWidth)] : []),
]`;

process.exitCode = (await main(process.argv[2] ?? '')) > 0 ? 1 : 0;
