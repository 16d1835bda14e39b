import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import type { Phrase } from '../../src/core/phrase/types';
import { encodeLibrary } from '../../src/io/json/encode';
import { readSamples } from '../support/samples';
import { costOfPresses, type TraceEvent } from '../support/trace';
import { launchBrowser, visit } from './browser';
import { serveFolder } from './serve-folder';

/**
 * What it costs to come back to a library of 200 phrases whose first lines were engraved before:
 * `npx tsx tests/e2e/cards.ts`. Goal: script, style and layout of less than 100 ms until the window
 * is filled. The app draws lines near the window only; in a window high enough for all 200, what
 * the browser itself needs for so much music is most of it. Times depend on the machine, so the
 * same page also puts the same cards in as plain HTML, without anything of the app.
 */
const CARDS = 200;
const ROUNDS = 15;
/** Room for all cards with their lines at once, so that none is left for later, in px. */
const ALL = { width: 1280, height: 32_000 };
const USUAL = { width: 1280, height: 900 };

const root = path.resolve(import.meta.dirname, '../..');

/** The samples over and over, each time under ids of their own. */
function phrases(count: number): readonly Phrase[] {
  const samples = readSamples();
  return Array.from({ length: count }, (_, i) => {
    const sample = samples[i % samples.length]?.phrase;
    if (sample === undefined) throw new Error('there are no samples');
    const title = `${sample.meta.title} ${1 + Math.floor(i / samples.length)}`;
    return { ...sample, id: `card-${i}`, meta: { ...sample.meta, title } };
  });
}

/**
 * As text, since what transpiles this file puts helpers into functions that the page does not have.
 * Keys begin what is measured, so that the trace shows where it begins; `there` is for the waiting.
 */
const KEYS = `(() => {
  const keys = {
    F2: () => { location.hash = '#/help/keys'; },
    F4: () => { location.hash = '#/'; },
    F8: () => {
      window.host.innerHTML = window.html;
      window.host.getBoundingClientRect();
    },
  };
  window.addEventListener('keydown', (event) => {
    if (keys[event.key] === undefined) return;
    event.stopImmediatePropagation();
    event.preventDefault();
    keys[event.key]();
  }, true);
  window.there = () => ({
    cards: document.querySelectorAll('.cards > .card').length,
    lines: document.querySelectorAll('.card-score svg').length,
  });
  window.prepare = () => {
    const cards = document.querySelector('.cards');
    window.html = cards.outerHTML;
    window.host = document.createElement('div');
    cards.parentElement.append(window.host);
  };
  window.rest = () => new Promise((resolve) =>
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(resolve))));
})()`;

interface Seen {
  readonly cards: number;
  readonly lines: number;
}

interface Costs extends Seen {
  /** Milliseconds of script, style and layout of the page's own thread, of each round. */
  readonly work: readonly number[];
}

/** Waits until so many cards and lines are there and the frame that shows them is over. */
async function until(page: Page, cards: number, lines: number): Promise<Seen> {
  for (;;) {
    await page.evaluate('rest()');
    const seen = await page.evaluate<Seen>('there()');
    if (cards === 0 ? seen.cards === 0 : seen.cards >= cards && seen.lines >= lines) {
      await page.evaluate('rest()');
      return page.evaluate<Seen>('there()');
    }
  }
}

/** Goes to the library from another page, that often. */
async function back(page: Page, rounds: number, cards: number, lines: number): Promise<Costs> {
  let seen: Seen = { cards: 0, lines: 0 };
  const work = await traced(page, async () => {
    for (let i = 0; i < rounds; i++) {
      await page.keyboard.press('F2');
      await until(page, 0, 0);
      await page.keyboard.press('F4');
      seen = await until(page, cards, lines);
    }
  });
  return { ...seen, work: work.filter((_, i) => i % 2 === 1) };
}

/** Puts the cards that are there in once more, as plain HTML. */
async function plainly(page: Page, rounds: number): Promise<Costs> {
  const seen = await page.evaluate<Seen>('there()');
  await page.evaluate('prepare()');
  const work = await traced(page, async () => {
    for (let i = 0; i < rounds; i++) {
      await page.evaluate('host.replaceChildren(), rest()');
      await page.keyboard.press('F8');
      await page.evaluate('rest()');
    }
  });
  await page.evaluate('host.remove(), rest()');
  return { ...seen, work };
}

/** What each key pressed meanwhile cost, up to the next one. */
async function traced(page: Page, run: () => Promise<void>): Promise<readonly number[]> {
  const browser = page.context().browser();
  if (browser === null) throw new Error('the page has no browser');
  await browser.startTracing(page, { categories: ['devtools.timeline'] });
  await run();
  const text = (await browser.stopTracing()).toString();
  // Chromium's own trace format.
  const { traceEvents } = JSON.parse(text) as { traceEvents: TraceEvent[] };
  return costOfPresses(traceEvents, 'next press', 'thread');
}

async function main(): Promise<void> {
  mkdirSync(path.join(root, 'dist'), { recursive: true });
  const folder = mkdtempSync(path.join(root, 'dist', 'app-bench-'));
  await buildApp({ root, logLevel: 'error', build: { outDir: folder } });
  const served = await serveFolder(folder);
  const browser = await launchBrowser();
  try {
    const { page } = await visit(browser, served.address, '#/', {
      // Few points to paint, since painting is not what is measured.
      deviceScaleFactor: 0.1,
    });
    const samples = readSamples().length;
    await page.getByText(`${samples} phrases`, { exact: true }).waitFor();
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in …' }).click();
    await (await chooser).setFiles({
      name: 'cards.json',
      mimeType: 'application/json',
      buffer: Buffer.from(
        encodeLibrary({
          format: 'degreewise-library',
          version: 2,
          phrases: phrases(CARDS - samples),
        }),
      ),
    });
    await page.getByText(`${CARDS} phrases`, { exact: true }).waitFor();

    // The texts live as long as the page, so a page that was loaded anew engraves anew.
    await page.setViewportSize(ALL);
    await page.goto(`${served.address}#/help/keys`);
    await page.reload();
    await page.locator('h1').waitFor();
    await page.evaluate(KEYS);
    const anew = await back(page, 1, CARDS, CARDS);
    const all = await back(page, ROUNDS, CARDS, CARDS);
    const plain = await plainly(page, ROUNDS);
    await page.setViewportSize(USUAL);
    const usual = await back(page, ROUNDS, 1, 1);
    report(anew, all, plain, usual);
  } finally {
    await browser.close();
    await served.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function quantile(numbers: readonly number[], q: number): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * q))] ?? Number.NaN;
}

function report(anew: Costs, all: Costs, plain: Costs, usual: Costs): void {
  const line = (what: string, { work, cards, lines }: Costs) => {
    const at = (q: number) => `${quantile(work, q).toFixed(1)} ms`;
    const ratio = quantile(work, 0.5) / quantile(plain.work, 0.5);
    console.log(
      `  ${what}, ${cards} cards and ${lines} lines: median ${at(0.5)}, quartiles ${at(0.25)} and ` +
        `${at(0.75)}, ratio to plain HTML ${ratio.toFixed(2)}`,
    );
  };
  console.log(
    `back to a library of ${CARDS} phrases, ${all.work.length} times: script, style and layout`,
  );
  line(`window of ${USUAL.width} by ${USUAL.height} px (goal 100 ms)`, usual);
  line('a window high enough for all', all);
  line('the same with every line engraved anew, once', anew);
  line('the same put in as plain HTML', plain);
}

await main();
