import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright';
import { expect } from 'vitest';

/** Chromium without a window of its own takes two thirds of the time; where it is not there, with one. */
const SHELL = '/usr/bin/chromium-headless-shell';
export const CHROMIUM = existsSync(SHELL) ? SHELL : '/usr/bin/chromium';

/** The browser of the machine, as the tests of components use it. */
export function launchBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: CHROMIUM,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      // Nothing is drawn by a graphics card: a process less that the pictures go through.
      '--in-process-gpu',
      '--no-first-run',
      '--disable-background-networking',
    ],
  });
}

/** A browser whose microphone is a file, and which gives it to every page that asks. */
export function launchHearing(wav: string, executablePath = '/usr/bin/chromium'): Promise<Browser> {
  return chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-audio-capture=${wav}`,
    ],
  });
}

/** A page in a profile of its own, with everything the console complained about. */
export interface Visit {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Errors, warnings, uncaught exceptions and requests that left the address of the app. */
  readonly complaints: string[];
}

/** How the app is opened. */
export interface VisitOptions extends BrowserContextOptions {
  /** Whether the page fetches every part ahead of its use; as where it is kept for offline use, when absent. */
  readonly ahead?: boolean;
}

/** Opens the app in a new profile and goes to a place of it. */
export async function visit(
  browser: Browser,
  address: string,
  place = '',
  { ahead, ...options }: VisitOptions = {},
): Promise<Visit> {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  // Keeping the app for offline use costs a new profile more than most tests do, and so does fetching every
  // part ahead: only where it is asked for. Elsewhere a page is never idle, and parts come when needed.
  const kept = options.serviceWorkers === 'allow';
  if (!kept) await context.addInitScript('delete Navigator.prototype.serviceWorker');
  if (!(ahead ?? kept)) await context.addInitScript('window.requestIdleCallback = () => 0');
  const page = await context.newPage();
  const complaints = watch(page, address);
  await page.goto(address + place);
  return { page, context, complaints };
}

/** Writes down what a page complains about. */
export function watch(page: Page, address: string): string[] {
  const complaints: string[] = [];
  page.on('console', (m) => {
    if (m.type() === 'error' || m.type() === 'warning') complaints.push(`${m.type()}: ${m.text()}`);
  });
  page.on('pageerror', (e) => complaints.push(`exception: ${e.message}`));
  page.on('request', (r) => {
    const url = r.url();
    if (!url.startsWith(address) && !/^(?:data|blob):/u.test(url)) complaints.push(`fetch: ${url}`);
  });
  return complaints;
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/**
 * What axe-core has to say of the page, rule by rule.
 * @param rules Only these; all when absent.
 */
export async function axeViolations(
  page: Page,
  rules: readonly string[] | null = null,
): Promise<readonly string[]> {
  // Evaluated by the debugger, which the page's content security policy does not bind.
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(AXE);
  return page.evaluate(async (only) => {
    const axe = (window as unknown as { axe: typeof import('axe-core') }).axe;
    const { violations } = await axe.run(
      // The cards of a library are made alike: six of them are looked at instead of dozens.
      { include: ['html'], exclude: ['li.card:nth-child(n + 7)'] },
      {
        resultTypes: ['violations'],
        ...(only !== null && { runOnly: { type: 'rule', values: [...only] } }),
      },
    );
    return violations.flatMap((v) =>
      v.nodes.map((n) => `${v.id}: ${n.target.join(' ')} (${n.failureSummary ?? ''})`),
    );
  }, rules);
}

/** Fails with what axe-core found: everything in the light theme, contrast in the dark one too. */
export async function expectAccessible(page: Page): Promise<void> {
  await page.emulateMedia({ colorScheme: 'light' });
  expect(await axeViolations(page), 'light').toEqual([]);
  await page.emulateMedia({ colorScheme: 'dark' });
  expect(await axeViolations(page, ['color-contrast']), 'dark').toEqual([]);
  await page.emulateMedia({ colorScheme: null });
}
