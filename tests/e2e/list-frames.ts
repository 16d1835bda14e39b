import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { chromium, type Page } from 'playwright';
import { build as buildApp } from 'vite';
import { readSamples } from '../support/samples';
import { CHROMIUM } from './browser';
import { fillOld } from './fill-old';
import { traceTasks } from './long-tasks';
import { serveFolder } from './serve-folder';

/**
 * What scrolling a large library and typing in its field hold up:
 * `npx tsx tests/e2e/list-frames.ts 100000 PROFILE [BUILT APP]`. The profile is the folder of `warm-start.ts`, or is
 * filled the first time. Of each: frames that came late (two or more in place of one), the longest
 * wait for a frame, and the tasks of the page's thread that had more than 50 ms of the processor,
 * with what was in them; TRACE=1 tells their functions. The same is measured on a page at rest, since
 * frames come late on a busy machine too, and at last on pages without a program: plain boxes as large as the cards and as many, the
 * least that scrolling costs here, and the same with the same scores in them, all drawn before. ONLY=scroll leaves the field out,
 * ROUNDS=3 measures that so often.
 */
const SIZE = Number(process.argv[2] ?? 10_000);
const PROFILE = path.resolve(process.argv[3] ?? '');
const BUILT = process.argv[4];
const ROUNDS = Number(process.env.ROUNDS ?? 1);
/** A profile knows its library by the address it was filled at. */
const PORT = 4_719;
const root = path.resolve(import.meta.dirname, '../..');

/** Rows, facts, words, numerals, what nearly all phrases are and what few. */
const TYPED = [
  '5 6 b7',
  'level:2',
  'third not with:bend',
  'IV7 5 .. R',
  'ii V7',
  'harbour or ferry',
  '? .. >R .. <? or not key:minor',
  'third ladder',
];

const FRAMES = `
  window.frames = [];
  (() => {
    let last = performance.now();
    const next = (now) => {
      window.frames.push(now - last);
      last = now;
      requestAnimationFrame(next);
    };
    requestAnimationFrame(next);
  })();
`;

async function measured(page: Page, name: string, work: () => Promise<unknown>): Promise<void> {
  const trace = await traceTasks(page);
  await page.evaluate('window.frames.length = 0');
  await work();
  const frames = (await page.evaluate('window.frames')) as number[];
  const tasks = await trace();
  const late = frames.filter((f) => f > 1.5 * (1000 / 60)).length;
  console.log(
    `${name}: ${frames.length} frames, ${late} late, longest ${Math.round(Math.max(...frames))} ms;`,
    `${tasks.length} tasks over 50 ms${tasks.map((t) => ` ${t.busy}`).join('')}`,
  );
  for (const t of tasks.slice(0, 8)) {
    console.log(`  ${t.busy} of ${t.ms} ms: ${t.of}`);
    if (process.env.TRACE === '1') console.log(`    ${t.functions}`);
  }
}

const scroll = async (page: Page) => {
  for (let i = 0; i < 60; i++) {
    await page.mouse.wheel(0, 500);
    await page.waitForTimeout(30);
  }
};

/** So many boxes of the size of cards, three in a row, without anything in them. */
const boxes = (inside: string) => `(() => {
  const inside = ${inside};
  const box = (_, i) => '<div style="height:356px;border:1px solid #888">' + inside(i) + '</div>';
  document.body.innerHTML =
    '<div style="display:grid;grid-template-columns:repeat(3,1fr);gap:24px;padding:0 32px">' +
    Array.from({ length: 300 }, box).join('') +
    '</div>';
  scrollTo(0, 0);
})()`;

async function withoutProgram(page: Page, rounds: number): Promise<void> {
  const scores = await page.evaluate(
    "[...document.querySelectorAll('.card-score')].filter((e) => e.querySelector('svg')).map((e) => e.outerHTML)",
  );
  for (let i = 0; i < rounds; i++) {
    for (const [name, inside] of [
      ['plain boxes', "() => ''"],
      [
        `boxes with ${(scores as string[]).length} scores in turn`,
        `((s) => (i) => s[i % s.length])(${JSON.stringify(scores)})`,
      ],
    ]) {
      await page.evaluate(boxes(inside!));
      await page.waitForTimeout(2_000);
      await measured(page, `scrolling ${name}`, () => scroll(page));
    }
  }
}

async function all(page: Page): Promise<void> {
  await measured(page, 'at rest', () => page.waitForTimeout(3_000));
  await page.mouse.move(640, 500);
  await measured(page, 'scrolling cards', () => scroll(page));
  await page.evaluate('scrollTo(0, 0)');
  const field = page.getByRole('combobox', { name: 'Find' });
  await measured(page, 'the index comes', async () => {
    await field.fill('with:slide');
    await page.getByText(/ of [\d,]+ phrases$/u).waitFor();
    await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  });
  for (const text of TYPED) {
    await field.fill('');
    await page.waitForTimeout(600);
    await measured(page, `typing '${text}'`, async () => {
      await field.pressSequentially(text, { delay: 120 });
      await page.waitForTimeout(800);
    });
  }
  // What is offered lies over the rest while the field has the focus.
  // One that finds something and that no run before has kept in this profile: no other is offered to be kept.
  await field.fill(`third notes:..${200 + (Date.now() % 9_700)}`);
  await field.blur();
  await page.getByRole('button', { name: 'Keep this question …' }).waitFor();
  await measured(page, 'a question kept', async () => {
    await page.getByRole('button', { name: 'Keep this question …' }).click();
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.waitForTimeout(800);
  });
  await field.fill('');
  await page.waitForTimeout(600);
  await measured(page, 'the kept question chosen as it is typed', async () => {
    await field.pressSequentially('thir', { delay: 120 });
    await page
      .getByRole('option', { name: /saved question/u })
      .first()
      .click();
    await page.waitForTimeout(1_500);
  });
  await field.fill('');
  await field.blur();
  await page.waitForTimeout(600);
  await page.getByRole('checkbox').first().check();
  await measured(page, 'more like this, the first time', async () => {
    await page.getByText('More like this').first().click();
    await page.getByText(/^\d+ of [\d,]+ phrases$/u).waitFor();
    await page.waitForTimeout(800);
  });
  await measured(page, "typing 'with:slide' among what is like it", async () => {
    await field.pressSequentially('with:slide', { delay: 120 });
    await page.waitForTimeout(800);
  });
  await page.goto(page.url().replace(/#.*$/u, '#/'));
  await page.waitForTimeout(600);
  await page.getByLabel('Show as').selectOption('lines');
  await page.locator('.phrase-line').first().waitFor();
  await page.waitForTimeout(1_000);
  await page.mouse.move(640, 500);
  await measured(page, 'scrolling lines', () => scroll(page));
  await page.evaluate('scrollTo(0, document.body.scrollHeight / 2)');
  await page.waitForTimeout(500);
  await measured(page, 'scrolling lines in the middle', () => scroll(page));
  await page.evaluate('scrollTo(0, 0)');
  await measured(page, "typing '5 6 b7' over lines", async () => {
    await field.pressSequentially('5 6 b7', { delay: 120 });
    await page.waitForTimeout(800);
  });
  await page.getByLabel('Show as').selectOption('cards');
  await page.locator('.card svg').first().waitFor();
  await withoutProgram(page, 1);
}

async function scrolling(page: Page): Promise<void> {
  await page.mouse.move(640, 500);
  for (let i = 0; i < ROUNDS; i++) {
    await measured(page, 'at rest', () => page.waitForTimeout(1_000));
    await page.evaluate('scrollTo(0, 0)');
    await page.waitForTimeout(1_500);
    await measured(page, 'scrolling cards', () => scroll(page));
  }
  await withoutProgram(page, ROUNDS);
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'frames-'));
const app = BUILT ?? path.join(folder, 'app');
if (BUILT === undefined) {
  await buildApp({ root, logLevel: 'error', build: { outDir: app } });
}
const served = await serveFolder(app, PORT);
const fresh = !existsSync(PROFILE);
const context = await chromium.launchPersistentContext(PROFILE, {
  executablePath: CHROMIUM,
  args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
  viewport: { width: 1280, height: 900 },
});
try {
  await context.addInitScript('delete Navigator.prototype.serviceWorker');
  const page = await context.newPage();
  page.setDefaultTimeout(fresh ? 1_800_000 : 120_000);
  await page.addInitScript(FRAMES);
  if (fresh) {
    const samples = readSamples().map((s) => s.phrase);
    await fillOld(page, served.address, samples, SIZE);
  }
  await page.goto(`${served.address}#/`);
  console.log('opened');
  await page
    .getByText(/^[\d,]+ phrases$/u)
    .first()
    .waitFor();
  await page.locator('.card svg').first().waitFor();
  await page.getByText(/Reading the phrases/u).waitFor({ state: 'detached' });
  await page.waitForTimeout(5_000);
  await (process.env.ONLY === 'scroll' ? scrolling(page) : all(page));
} finally {
  await context.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}
