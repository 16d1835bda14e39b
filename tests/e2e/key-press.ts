import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { build as buildApp } from 'vite';
import type { Phrase } from '../../src/core/phrase/types';
import { encodePhrase } from '../../src/io/json/encode';
import { build } from '../support/build';
import { type Clock, costOfPresses, type TraceEvent } from '../support/trace';
import { launchBrowser, visit } from './browser';
import { serveFolder } from './serve-folder';

/**
 * What one key press costs while a phrase of twelve bars and eighty notes, or of so many bars, is written in, from
 * a trace of Chromium: `npx tsx tests/e2e/key-press.ts 12`. Goals: script, style and layout of a press
 * at most 8 ms in the median; the new score in the first frame after the event in at least 95 of
 * 100 presses; only the changed line engraved again. Times depend on the machine, so the same run
 * also measures a plain text field that is typed into, and the work of the page's thread alone, which
 * what else the machine does at the same time makes no longer.
 */
const BARS = [
  'e 4/5 4/7 3/5 3/7 2/5 2/8 q 1/5',
  'e 3/5 3/7 3/5 4/7 q 3/7 4/5',
  'e 2/5 2/8 2/5 3/7 3/5 4/7 q 3/5+2/5',
];
const LENGTH = Number(process.argv[2] ?? 12);
const LANE = 'A7 | D7 | A7 | A7 | D7 | D7 | A7 | F#7 | Bm7 | E7 | A7 F#7 | Bm7 E7';
const PRESSES = 120;
/** Between two presses, in milliseconds: a fast typist. */
const PAUSE = 60;

const KEYS = '7 ArrowRight 5 ArrowRight 8 ArrowUp 1 ArrowRight 3 Enter'.split(' ');
const WRITES = /^\d$/u;
/** So many presses that write are counted apart. */
const EARLY = 10;

const root = path.resolve(import.meta.dirname, '../..');

function eighty(): Phrase {
  const line = Array.from({ length: LENGTH }, (_, i) => BARS[i % BARS.length]).join(' | ');
  const bars = LANE.split(' | ');
  const chords = Array.from({ length: LENGTH }, (_, i) => bars[i % bars.length]).join(' | ');
  return build(line, { key: 'G', chords, title: 'Eighty', id: 'bench-eighty' });
}

/** In the page: what each press changed, and whether it was there before the next frame. */
interface Watch {
  readonly inFrame: boolean;
  readonly linesChanged: number;
  readonly lines: number;
}

async function main(): Promise<void> {
  mkdirSync(path.join(root, 'dist'), { recursive: true });
  const folder = mkdtempSync(path.join(root, 'dist', 'app-bench-'));
  await buildApp({ root, logLevel: 'error', build: { outDir: folder } });
  const served = await serveFolder(folder);
  const browser = await launchBrowser();
  try {
    const { page } = await visit(browser, served.address, '#/', { ahead: true });
    await page.getByText('33 phrases', { exact: true }).waitFor();
    const phrase = eighty();
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in …' }).click();
    await (await chooser).setFiles({
      name: 'eighty.json',
      mimeType: 'application/json',
      buffer: Buffer.from(encodePhrase(phrase)),
    });
    await page.getByText('34 phrases', { exact: true }).waitFor();
    await page.evaluate((hash) => {
      window.location.hash = hash;
    }, `#/phrase/${phrase.id}/write`);
    const score = page.locator('.write-score');
    await score.locator('.system svg').first().waitFor();
    await page.waitForTimeout(1_000);
    await score.focus();

    const trace = path.join(folder, 'trace.json');
    const measure = async (press: readonly string[]) => {
      await browser.startTracing(page, { path: trace, categories: ['devtools.timeline'] });
      for (let i = 0; i < PRESSES; i++) {
        await page.keyboard.press(press[i % press.length]!);
        await page.waitForTimeout(PAUSE);
      }
      await browser.stopTracing();
      const { traceEvents } = JSON.parse(readFileSync(trace, 'utf8')) as {
        traceEvents: TraceEvent[];
      };
      const cost = (clock: Clock) => ({
        frame: costOfPresses(traceEvents, 'frame', clock),
        all: costOfPresses(traceEvents, 'next press', clock),
      });
      return { wall: cost('wall'), thread: cost('thread') };
    };
    const costs = await measure(KEYS);
    // In a round of its own: reading the whole score at each press costs more than the press.
    await score.press('Home');
    await page.evaluate(WATCH_PRESSES);
    for (let i = 0; i < PRESSES; i++) {
      await page.keyboard.press(KEYS[i % KEYS.length]!);
      await page.waitForTimeout(PAUSE);
    }
    const seen = await page.evaluate(() => (window as unknown as { presses: Watch[] }).presses);
    await page.setContent('<textarea rows="10" cols="60"></textarea>');
    await page.locator('textarea').focus();
    const plain = await measure(['a', 'b', 'c', ' ']);
    report(
      costs,
      plain,
      seen.filter((w) => w.linesChanged > 0),
      seen[0]?.lines ?? 0,
    );
  } finally {
    await browser.close();
    await served.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** As text, since what transpiles this file puts helpers into functions that the page does not have. */
const WATCH_PRESSES = `(() => {
  window.presses = [];
  const lines = () => [...document.querySelectorAll('.write-score [data-line]')];
  const music = (line) => line.querySelector('.system')?.innerHTML ?? '';
  let before = lines().map(music);
  window.addEventListener('keydown', () => {
    requestAnimationFrame(() => {
      // Whatever is in the page when the frame's callbacks run is what the frame shows.
      const now = lines().map(music);
      const changed = now.filter((text, i) => text !== before[i]).length;
      before = now;
      requestAnimationFrame(() => {
        const later = lines().map(music);
        const late = later.some((text, i) => text !== now[i]);
        before = later;
        window.presses.push({
          inFrame: !late,
          linesChanged: Math.max(changed, late ? 1 : 0),
          lines: now.length,
        });
      });
    });
  }, true);
})()`;

type Costs = Readonly<Record<Clock, Readonly<Record<'frame' | 'all', readonly number[]>>>>;

function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? Number.NaN;
}

function report(costs: Costs, plain: Costs, seen: readonly Watch[], lines: number): void {
  const ms = (n: number) => `${n.toFixed(2)} ms`;
  const at = (list: readonly number[], q: number) =>
    [...list].sort((a, b) => a - b)[Math.floor(list.length * q)] ?? Number.NaN;
  console.log(`one key press, ${LENGTH} bars in ${lines} lines, ${costs.wall.all.length} presses`);
  for (const [what, of] of [
    ['up to the frame that shows it', 'frame'],
    ['up to the next press, with all that follows later', 'all'],
  ] as const) {
    console.log(`  script, style and layout ${what}:`);
    for (const [name, clock] of [
      ['by the wall', 'wall'],
      ['by the thread', 'thread'],
    ] as const) {
      const own = costs[clock][of];
      const field = median(plain[clock][of]);
      console.log(
        `    ${name}: median ${ms(median(own))} (goal 8), 95 of 100 under ${ms(at(own, 0.95))}; ` +
          `a plain text field ${ms(field)}, ratio ${(median(own) / field).toFixed(1)}`,
      );
    }
  }
  // What moves and what writes are two kinds of press: the median of both falls between them. The first ones that
  // write run code that the browser has not compiled yet.
  const frame = costs.thread.frame;
  const writing = frame.filter((_, i) => WRITES.test(KEYS[i % KEYS.length]!));
  const moving = frame.filter((_, i) => !WRITES.test(KEYS[i % KEYS.length]!));
  const [early, later] = [writing.slice(0, EARLY), writing.slice(EARLY)];
  console.log(
    `  by the thread up to the frame: a press that moves ${ms(median(moving))}, the first ${EARLY} that write ` +
      `${ms(median(early))}, those after ${ms(median(later))}, 95 of 100 of these under ${ms(at(later, 0.95))}`,
  );
  const inFrame = seen.filter((w) => w.inFrame).length;
  console.log(
    `  new score in the first frame: ${inFrame} of ${seen.length} presses that changed it (goal 95%)`,
  );
  const one = seen.filter((w) => w.linesChanged === 1).length;
  console.log(`  one line engraved again and no other: ${one} of ${seen.length}`);
}

await main();
