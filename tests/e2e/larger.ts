import path from 'node:path';
import type { Browser } from 'playwright';
import { launchBrowser, visit } from './browser';
import { STATES, type State } from './picture-states';
import { serveFolder } from './serve-folder';
import { CUT, OVER, SPACED, smallFor, styledBy, TWICE } from './text-trouble';

/**
 * Every page and state on a phone, in a window of 320 px, with the browser's text at 200 % and with wider letters:
 * `npx tsx tests/e2e/larger.ts BUILT-APP FOLDER [NAME]`. Says what is cut, out of the window, over something else or too
 * small for a finger, and takes pictures of each that has any. NAME is a regular expression.
 */
const LEAST = Number(process.env.LEAST ?? 24);

async function look(browser: Browser, address: string, folder: string, state: State) {
  const { page, context } = await visit(browser, address, '#/', {
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    isMobile: true,
    reducedMotion: 'reduce',
  });
  page.setDefaultTimeout(30_000);
  const found: string[] = [];
  try {
    await page.getByText('33 phrases', { exact: true }).waitFor();
    await page.evaluate((hash) => {
      window.location.hash = hash;
    }, state.place);
    await page.waitForTimeout(700);
    await state.act?.(page);
    await page.waitForTimeout(700);
    const say = async (how: string, checks: readonly string[]) => {
      const all: string[] = [];
      for (const check of checks) all.push(...(await page.evaluate<string[]>(check)));
      if (all.length === 0) return;
      found.push(...all.map((one) => `${how}: ${one}`));
      await page.screenshot({
        path: path.join(folder, `${state.name}-${how}.png`),
        fullPage: true,
      });
    };
    await say('390', [smallFor(LEAST), CUT, OVER]);
    await page.setViewportSize({ width: 320, height: 640 });
    await page.waitForTimeout(400);
    await say('320', [CUT, OVER]);
    await page.setViewportSize({ width: 1280, height: 860 });
    await page.evaluate(styledBy(TWICE));
    await page.waitForTimeout(400);
    await say('twice', [CUT, OVER]);
    await page.evaluate(styledBy(SPACED));
    await page.setViewportSize({ width: 390, height: 844 });
    await page.waitForTimeout(400);
    await say('spaced', [CUT, OVER]);
  } catch (e) {
    found.push(String(e).split('\n')[0] ?? '');
  } finally {
    await context.close();
  }
  console.log(`${state.name}${found.map((f) => `\n  ${f}`).join('')}`);
}

const [app, folder, word = ''] = process.argv.slice(2);
if (app === undefined || folder === undefined)
  throw new Error('Say what was built and into which folder: larger.ts BUILT-APP FOLDER [NAME]');
const served = await serveFolder(app);
const browser = await launchBrowser();
try {
  for (const s of STATES.filter(({ name }) => new RegExp(word).test(name)))
    await look(browser, served.address, folder, s);
} finally {
  await browser.close();
  await served.close();
}
