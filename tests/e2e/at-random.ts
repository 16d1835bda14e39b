import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import { decodeLibrary } from '../../src/io/library/decode';
import { launchBrowser, type Visit, type VisitOptions, visit } from './browser';
import { serveFolder } from './serve-folder';

/**
 * Somebody who does anything: presses, types, chooses, goes back and reloads at random, on a laptop and a phone by turns:
 * `npx tsx tests/e2e/at-random.ts [SEEDS, 10] [STEPS, 400] [FIRST SEED, 1]`. Prints what the console complained about and what led
 * there; pages that went blank; and whether the backup of what came of it can be read. Ends with 1 where anything did.
 */
const LAPTOP: VisitOptions = { viewport: { width: 1280, height: 860 } };
const PHONE: VisitOptions = {
  viewport: { width: 390, height: 844 },
  hasTouch: true,
  isMobile: true,
};

const KEYS = [
  ...['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown', 'Enter', 'Escape', 'Tab', 'Space'],
  ...['Backspace', 'Delete', 'Home', 'End', 'PageDown', 'PageUp', 'Shift+ArrowLeft', 'Alt+x'],
  ...['Shift+ArrowRight', 'Control+z', 'Control+y', 'Control+c', 'Control+v', 'Control+x'],
  ...['Control+a', 'Control+.'],
  ...'0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ|&=+-.,/<>()[]{}~!\'"#*;:?',
];

const TEXTS = [
  ...[
    '',
    'A7',
    'I7 | IV7 | V7',
    'H',
    '%',
    '99999',
    '-1',
    '0',
    '3/4',
    '12/8',
    'Eb',
    '♭7',
    '<b>x</b>',
  ],
  ...[
    '5 6 b7 over IV',
    'in:"',
    '(',
    'with:slide or',
    'like:',
    'fits:V>I',
    'C F Bb',
    'I7 IV7',
    '1e9',
  ],
  ...['[A blues, 4/4] {A7} e 3:5', 'open G, capo 2', '٣', '🎸', 'x'.repeat(500)],
];

const PLACES = [
  ...['#/', '#/solo?form=blues&key=A', '#/lessons', '#/collections', '#/catch', '#/tags'],
  ...['#/removed', '#/keys', '#/phrase/sample-06-twelve-at-the-salt-loft/write'],
  ...['#/phrase/sample-32-rope-ladder', '#/phrase/sample-09-slack-water-waltz/write'],
  ...['#/phrase/sample-19-milk-cart-bends/move', '#/phrase/sample-25-lifeboat-sunday/vary'],
];

const PRESSED =
  'button:visible:enabled, a:visible, summary:visible, input[type=checkbox]:visible, input[type=radio]:visible';
const TYPED =
  'input:visible:not([type=checkbox]):not([type=radio]):not([type=file]), textarea:visible';

/** Numbers from 0 to 1, the same for a seed each time (a linear congruence of Numerical Recipes, from memory). */
function draws(seed: number): () => number {
  let s = seed;
  return () => {
    s = (s * 1664525 + 1013904223) >>> 0;
    return s / 2 ** 32;
  };
}

class Somebody {
  private readonly draw: () => number;

  constructor(
    private readonly page: Page,
    private readonly address: string,
    seed: number,
  ) {
    this.draw = draws(seed);
  }

  /** Does something. @returns what, in words. */
  async step(): Promise<string> {
    const chance = this.draw();
    if (chance < 0.45) return this.press();
    if (chance < 0.55) return this.type();
    if (chance < 0.62) return this.choose();
    if (chance < 0.9) return this.keys();
    if (chance < 0.95) return this.point();
    if (chance < 0.97) return this.back();
    if (chance < 0.98) return this.page.reload().then(() => 'reload');
    return this.go(this.pick(PLACES));
  }

  private pick<T>(all: readonly T[]): T {
    return all[Math.floor(this.draw() * all.length)]!;
  }

  private async press(): Promise<string> {
    const all = await this.page.locator(PRESSED).all();
    if (all.length === 0) return 'nothing to press';
    const one = this.pick(all);
    const words = (await one.textContent({ timeout: 500 }))?.slice(0, 40) ?? '';
    // What lies over it now and then gets the press.
    await one.click({ timeout: 1500, force: this.draw() < 0.3 });
    return `press ${words}`;
  }

  private async type(): Promise<string> {
    const all = await this.page.locator(TYPED).all();
    if (all.length === 0) return 'nothing to type into';
    const one = this.pick(all);
    const text = this.pick(TEXTS);
    await one.fill(text, { timeout: 1000 });
    if (this.draw() < 0.6) await one.press('Enter', { timeout: 1000 });
    return `type ${text.slice(0, 30)}`;
  }

  private async choose(): Promise<string> {
    const all = await this.page.locator('select:visible').all();
    if (all.length === 0) return 'nothing to choose';
    const one = this.pick(all);
    const index = Math.floor(this.draw() * (await one.locator('option').count()));
    await one.selectOption({ index }, { timeout: 1000 });
    return `choose ${index}`;
  }

  private async keys(): Promise<string> {
    const keys = Array.from({ length: 1 + Math.floor(this.draw() * 6) }, () => this.pick(KEYS));
    for (const k of keys) await this.page.keyboard.press(k);
    return `keys ${keys.join(' ')}`;
  }

  private async point(): Promise<string> {
    const { width, height } = this.page.viewportSize()!;
    const [x, y] = [Math.floor(this.draw() * width), Math.floor(this.draw() * height)];
    await this.page.mouse.click(x, y);
    return `point ${x}, ${y}`;
  }

  private async back(): Promise<string> {
    await this.page.goBack({ timeout: 2000 });
    // Before its first page there is none of the app.
    if (!this.page.url().startsWith(this.address)) await this.page.goto(this.address);
    return 'back';
  }

  private async go(place: string): Promise<string> {
    await this.page.evaluate((to) => {
      location.hash = to;
    }, place);
    return `go to ${place}`;
  }
}

/** What is wrong with the page as it stands, also after the time that a page takes to come; null where nothing is. */
async function faultOf(page: Page): Promise<string | null> {
  const words = () =>
    page.evaluate(() => document.querySelector('main')?.textContent?.trim() ?? '').catch(() => '');
  for (let i = 0; i < 10; i++) {
    const now = await words();
    if (/could not be shown|went wrong/u.test(now)) return `the page gave up: ${now.slice(0, 200)}`;
    if (now !== '') return null;
    await page.waitForTimeout(500);
  }
  return 'the page is blank';
}

/** @returns how much went wrong. */
async function play(v: Visit, address: string, seed: number, steps: number): Promise<number> {
  const { page, complaints } = v;
  page.setDefaultTimeout(3000);
  page.on('dialog', (d) => d.accept());
  await page.getByText('33 phrases', { exact: true }).waitFor({ timeout: 60_000 });
  const somebody = new Somebody(page, address, seed);
  const did: string[] = [];
  let wrong = 0;
  const tell = (what: string) => {
    wrong++;
    console.log(`seed ${seed}, step ${did.length}: ${what}\n  ${did.slice(-12).join('\n  ')}`);
  };
  for (let seen = 0; did.length < steps; ) {
    const place = page.url().split('#')[1] ?? '';
    // What was to be pressed has often gone meanwhile.
    const what = await somebody.step().catch((e: Error) => `missed: ${e.message.split('\n')[0]}`);
    did.push(`${what} (${place})`);
    if (complaints.length > seen) tell(complaints.slice(seen).join('\n').slice(0, 1500));
    seen = complaints.length;
    const fault = await faultOf(page);
    if (fault !== null) {
      tell(fault);
      await page.goto(address);
    }
  }
  const why = await unreadable(page, address);
  if (why !== null) tell(why);
  return wrong;
}

/** What is wrong with the backup of the library; null where it can be read. */
async function unreadable(page: Page, address: string): Promise<string | null> {
  await page.goto(`${address}#/`);
  await page.reload();
  await page.getByRole('button', { name: /Back up the library/u }).click({ timeout: 60_000 });
  const saved = page.waitForEvent('download', { timeout: 60_000 });
  await page.getByRole('button', { name: 'Save the backup' }).click({ timeout: 60_000 });
  const read = decodeLibrary(readFileSync(await (await saved).path(), 'utf8'));
  return read.ok ? null : `the backup: ${read.problems.map((p) => p.message).join('; ')}`;
}

async function main(seeds: number, steps: number, first: number): Promise<void> {
  const built = mkdtempSync(path.join(tmpdir(), 'app-at-random-'));
  const root = path.resolve(import.meta.dirname, '../..');
  await buildApp({ root, logLevel: 'error', build: { outDir: built } });
  const served = await serveFolder(built);
  const browser = await launchBrowser();
  let wrong = 0;
  try {
    for (let seed = first; seed < first + seeds; seed++) {
      const v = await visit(browser, served.address, '#/', seed % 2 === 0 ? LAPTOP : PHONE);
      const here = await play(v, served.address, seed, steps);
      console.log(`seed ${seed}: ${steps} steps, ${here} wrong`);
      wrong += here;
      await v.context.close();
    }
  } finally {
    await browser.close();
    await served.close();
    rmSync(built, { recursive: true, force: true });
  }
  if (wrong > 0) process.exitCode = 1;
}

const [seeds = '10', steps = '400', first = '1'] = process.argv.slice(2);
await main(Number(seeds), Number(steps), Number(first));
