import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Browser, BrowserContextOptions } from 'playwright';
import { build as buildApp } from 'vite';
import { launchBrowser, visit } from './browser';
import { STATES, type State } from './picture-states';
import { serveFolder } from './serve-folder';

/**
 * Pictures of every page and state, on each device, light and dark, and on paper:
 * `npx tsx tests/e2e/pictures.ts FOLDER [NAME]`; NAME is a regular expression, of which pictures to
 * take. They are for looking at; nothing is compared. What is too wide or too small for a finger
 * is printed, with what the console complained about.
 */
const DEVICES: Readonly<Record<string, BrowserContextOptions>> = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
  tablet: { viewport: { width: 820, height: 1180 }, hasTouch: true, isMobile: true },
  /** A phone on its side. */
  lying: { viewport: { width: 844, height: 390 }, hasTouch: true, isMobile: true },
  laptop: { viewport: { width: 1280, height: 860 } },
};
const THEMES = ['light', 'dark'] as const;
/** A4 at 96 px an inch. */
const PAPER = { width: 794, height: 1123 };

async function main(folder: string, word: string): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const root = path.resolve(import.meta.dirname, '../..');
  mkdirSync(path.join(root, 'dist'), { recursive: true });
  const built = mkdtempSync(path.join(root, 'dist', 'app-pictures-'));
  await buildApp({ root, logLevel: 'error', build: { outDir: built } });
  const served = await serveFolder(built);
  const browser = await launchBrowser();
  try {
    for (const device of Object.keys(DEVICES)) {
      const states = STATES.filter((s) => new RegExp(word).test(`${device}-${s.name}`));
      for (const s of states) await picture(browser, served.address, folder, device, s);
    }
  } finally {
    await browser.close();
    await served.close();
    rmSync(built, { recursive: true, force: true });
  }
}

/** Every state in a new profile, so that none depends on another. */
async function picture(
  browser: Browser,
  address: string,
  folder: string,
  device: string,
  state: State,
): Promise<void> {
  const { page, context, complaints } = await visit(browser, address, '#/', {
    ...DEVICES[device],
    reducedMotion: 'reduce',
    // Of a country with A4.
    locale: 'en-GB',
  });
  const file = (kind: string) => path.join(folder, `${device}-${state.name}-${kind}`);
  try {
    page.setDefaultTimeout(20_000);
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await page.evaluate((hash) => {
      window.location.hash = hash;
    }, state.place);
    await page.waitForTimeout(700);
    await state.act?.(page);
    await page.waitForTimeout(700);
    for (const colorScheme of THEMES) {
      await page.emulateMedia({ colorScheme });
      await page.screenshot({
        path: `${file(colorScheme)}.png`,
        fullPage: state.window !== true,
        animations: 'disabled',
      });
    }
    const wide = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    if (wide > 0) complaints.push(`wider than the window by ${wide} px`);
    complaints.push(...(await page.evaluate<string[]>(SMALL)));
    if (state.paper && device === 'laptop') {
      await page.setViewportSize(PAPER);
      await page.emulateMedia({ colorScheme: 'dark', media: 'print' });
      writeFileSync(
        `${file('paper')}.pdf`,
        await page.pdf({ format: 'A4', preferCSSPageSize: true }),
      );
    }
  } catch (e) {
    complaints.push(String(e).split('\n')[0] ?? '');
    await page.screenshot({ path: `${file('failed')}.png` });
  } finally {
    await context.close();
  }
  console.log(`${device} ${state.name}${complaints.map((c) => `\n  ${c}`).join('')}`);
}

/** As text, since what transpiles this file puts helpers into functions that the page does not have. */
const SMALL = `matchMedia('(pointer: coarse)').matches ? [...document.querySelectorAll(
  'button, select, summary, input, a[href]')].flatMap((e) => {
  const target = e.closest('label, .card') ?? e;
  const { width, height } = target.getBoundingClientRect();
  const name = (e.getAttribute('aria-label') ?? e.textContent ?? '').slice(0, 40);
  return width > 1 && height > 1 && (width < 44 || height < 43.5)
    ? ['small: ' + e.tagName + ' ' + e.className + ' "' + name + '" ' + Math.round(width) + ' x ' + Math.round(height)]
    : [];
}) : []`;

const [folder, word = ''] = process.argv.slice(2);
if (folder === undefined) throw new Error('Say into which folder: pictures.ts FOLDER [NAME]');
await main(path.resolve(folder), word);
