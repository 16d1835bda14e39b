import type { Browser, BrowserContextOptions, Page } from 'playwright';
import { afterAll, afterEach, beforeAll, expect, inject } from 'vitest';
import { launchBrowser, type Visit, visit, watch } from './browser';
import { samplesStored } from './stored';

/** Ways into the app for the tests of one file. */
export interface Visits {
  /** A place of the app in a new profile. */
  readonly open: (place?: string, options?: BrowserContextOptions) => Promise<Page>;
  /** The library, with its samples laid in. */
  readonly library: (options?: BrowserContextOptions) => Promise<Page>;
  /** A place, once the samples are laid in. */
  readonly at: (place: string, options?: BrowserContextOptions) => Promise<Page>;
  /** An empty bar in C major, open for writing; begun by keys, and the score has the focus. */
  readonly emptyBar: (options?: BrowserContextOptions) => Promise<Page>;
  /** A page of a new profile that has not been anywhere. */
  readonly blank: (options?: BrowserContextOptions) => Promise<Page>;
  /** A second window of the profile that is open, not yet anywhere. */
  readonly another: () => Promise<Page>;
}

/**
 * One browser for a file, a profile for each test. What a page complains about (errors, warnings,
 * requests that leave the app) fails the test that opened it.
 */
export function visits(): Visits {
  const address = inject('appAddress');
  let browser: Browser;
  let now: Visit | null = null;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(() => browser.close());
  afterEach(async () => {
    const complaints = now?.complaints ?? [];
    await now?.context.close();
    now = null;
    expect(complaints).toEqual([]);
  });

  const open: Visits['open'] = async (place = '#/', options = {}) => {
    now = await visit(browser, address, place, options);
    return now.page;
  };
  const library: Visits['library'] = async (options) => {
    const page = await open('#/', options);
    await page.getByText('33 phrases', { exact: true }).waitFor();
    return page;
  };
  /** A page that draws no score, once the samples are laid in: the library's cards cost more than most tests do. */
  const laidIn = async (options?: BrowserContextOptions) => {
    const page = await open('#/keys', options);
    await samplesStored(page);
    return page;
  };
  return {
    open,
    library,
    at: async (place, options) => {
      const page = await laidIn(options);
      await goTo(page, place);
      return page;
    },
    emptyBar: async (options) => {
      const page = await laidIn(options);
      await beginWriting(page);
      return page;
    },
    blank: async (options) => {
      const context = await browser.newContext(options);
      const page = await context.newPage();
      now = { page, context, complaints: watch(page, address) };
      return page;
    },
    another: async () => {
      if (now === null) throw new Error('no profile is open');
      const page = await now.context.newPage();
      now.complaints.push(...watch(page, address));
      return page;
    },
  };
}

const goTo = (page: Page, place: string): Promise<void> =>
  page.evaluate((hash) => {
    window.location.hash = hash;
  }, place);

/** Begins a new phrase by keys, from any page. */
export async function beginWriting(page: Page): Promise<void> {
  await page.keyboard.press('Control+.');
  await page.getByRole('combobox', { name: 'Say what you want to do' }).fill('write a new');
  await page.keyboard.press('Enter');
  await page.locator('.write-score svg').first().waitFor();
  const score = page.getByRole('application');
  await expect.poll(() => score.evaluate((e) => e === document.activeElement)).toBe(true);
}
