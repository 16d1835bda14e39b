/**
 * Lessons on paper: the pages that are told before printing beside those that Chromium prints, and how full each
 * is, for each paper and size. `npx tsx tests/e2e/lesson-pages.ts BUILT-APP [FOLDER]`; pictures of the pages go into
 * FOLDER. Needs pdftoppm (poppler). Exit code 1 where another number is told than printed.
 */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright';
import { layForm } from '../../src/core/form/lay';
import { standardForm } from '../../src/core/form/standard';
import { addItem, freeItemId, lessonOf } from '../../src/core/lesson/edit';
import { withSolo } from '../../src/core/lesson/solo';
import type { Lesson, LessonItem } from '../../src/core/lesson/types';
import { proposeSolos } from '../../src/core/solo/propose';
import { lessonOfEveryKind } from '../support/lesson';
import { readSamples } from '../support/samples';
import { launchBrowser, visit } from './browser';
import { serveFolder } from './serve-folder';

const DAY = '2026-11-28T08:00:00Z';
const [app, folder = mkdtempSync(path.join(tmpdir(), 'pages-'))] = process.argv.slice(2);
if (app === undefined) throw new Error('name the folder of a built app');
mkdirSync(folder, { recursive: true });
const samples = readSamples().map((s) => s.phrase);

/** Without its id, which it gets where it is put in. */
type Bare<I> = I extends LessonItem ? Omit<I, 'id'> : never;
const filled = (start: Lesson, items: readonly Bare<LessonItem>[]) =>
  items.reduce<Lesson>(
    (l, item) => addItem(l, { ...item, id: freeItemId(l) } as LessonItem),
    start,
  );

/** Three phrases, a text, and the first through three chords. */
function threePhrases(): Lesson {
  const some = samples.slice(4, 7);
  return filled(lessonOf(some, { id: 'three', now: DAY, title: 'Three on the landing' }), [
    { kind: 'text', text: 'Sing it first.\n\nThen play it, slowly, and say the degrees.' },
    { kind: 'rounds', phrase: some[0]!.id, cycle: { kind: 'list', text: 'I IV V' } },
  ]);
}

/** Two phrases, exercises on them, and twelve bars. */
function withTwelveBars(): Lesson {
  const form = standardForm('blues')!;
  const tonic = { letter: 'A', alter: 0 } as const;
  const laid = layForm(form, tonic);
  if (!laid.ok) throw new Error('the form is laid');
  const meta = { title: 'Twelve bars of the quay', tags: [], created: DAY, modified: DAY };
  const made = proposeSolos(
    { form: laid.value, phrases: samples, options: { count: 1, seed: 3 } },
    () => ({ id: 'solo', tempo: form.tempo, meta }),
  );
  if (!made.ok) throw new Error(made.problems[0]?.message);
  const { phrase, parts } = made.value[0]!;
  const places = parts.map((p) => {
    return { firstBar: p.firstBar, lastBar: p.lastBar, title: p.phrase.meta.title };
  });
  const some = [samples[1]!, samples[8]!];
  const start = lessonOf(some, { id: 'twelve', now: DAY, title: 'A chorus to take home' });
  const led = filled({ ...start, meta: { ...start.meta, intro: 'Each bar has its reason.' } }, [
    { kind: 'gaps', phrase: some[0]!.id, every: 3, todo: 'Find what is missing by ear.' },
  ]);
  return withSolo(led, { form, tonic, phrase, parts: places, comping: null });
}

const lessons: readonly Lesson[] = [
  threePhrases(),
  withTwelveBars(),
  { ...lessonOfEveryKind([samples[0]!, samples[2]!]), id: 'every' },
];

/** Of each page how far down it is written on, of the height between its margins. */
function fullness(pdf: string, stem: string): readonly number[] {
  execFileSync('pdftoppm', ['-r', '60', '-gray', pdf, stem]);
  execFileSync('pdftoppm', ['-r', '60', '-png', pdf, stem]);
  const [dir, base] = [path.dirname(stem), path.basename(stem)];
  const pages = readdirSync(dir).filter((f) => f.startsWith(`${base}-`) && f.endsWith('.pgm'));
  return pages.sort().map((f) => {
    const bytes = readFileSync(path.join(dir, f));
    // Netpbm's P5: three numbers in text, a space, a byte a pixel.
    const head = /^P5\s+(\d+)\s+(\d+)\s+(\d+)\s/u.exec(bytes.subarray(0, 40).toString('latin1'))!;
    const [width, height] = [Number(head[1]), Number(head[2])];
    const mm = 60 / 25.4;
    const [top, bottom] = [Math.round(14 * mm), Math.round(height - 16 * mm)];
    for (let y = bottom; y > top; y--) {
      const row = bytes.subarray(head[0].length + y * width, head[0].length + (y + 1) * width);
      if (row.some((v) => v < 200)) return (y - top) / (bottom - top);
    }
    return 0;
  });
}

async function measured(page: Page, lesson: Lesson): Promise<number> {
  let wrong = 0;
  await page.evaluate((id) => {
    window.location.hash = `#/lesson/${id}`;
  }, lesson.id);
  await page.getByLabel('Title of the lesson').waitFor();
  const onPaper = page.getByRole('group', { name: 'On paper' });
  for (const paper of ['A4', 'Letter']) {
    for (const size of ['large', 'middle', 'small']) {
      await onPaper.getByLabel('Paper').selectOption(paper);
      await onPaper.getByLabel('Size').selectOption(size);
      await onPaper.getByText(/^\d+ pages?\.$/u).waitFor();
      const told = Number.parseInt((await onPaper.getByRole('status').textContent())!, 10);
      const stem = path.join(folder, `${lesson.id}-${paper}-${size}`);
      writeFileSync(`${stem}.pdf`, await page.pdf({ preferCSSPageSize: true }));
      const full = fullness(`${stem}.pdf`, stem);
      if (told !== full.length) wrong++;
      const parts = full.map((f) => `${Math.round(100 * f)}%`).join(' ');
      const verdict = told === full.length ? '' : '  NOT AS TOLD';
      console.log(
        `${lesson.id} ${paper} ${size}: told ${told}, printed ${full.length}: ${parts}${verdict}`,
      );
    }
  }
  return wrong;
}

const served = await serveFolder(app);
const browser = await launchBrowser();
let wrong = 0;
try {
  const { page } = await visit(browser, served.address, '#/');
  await page.getByRole('button', { name: 'Bring phrases in' }).waitFor();
  for (const lesson of lessons) {
    const choosing = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in' }).click();
    const buffer = Buffer.from(JSON.stringify(lesson));
    const mimeType = 'application/json';
    await (await choosing).setFiles({ name: `${lesson.id}.json`, mimeType, buffer });
    await page
      .getByText(/1 lesson/u)
      .first()
      .waitFor();
    await page.keyboard.press('Escape');
  }
  for (const lesson of lessons) wrong += await measured(page, lesson);
} finally {
  await browser.close();
  await served.close();
}
process.exitCode = wrong > 0 ? 1 : 0;
