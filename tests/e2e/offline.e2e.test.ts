import { appendFileSync, cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { launchBrowser, visit, watch } from './browser';
import { serveFolder } from './serve-folder';

const address = inject('appAddress');
const folder = inject('appFolder');

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

/** With the service worker, which other tests do without. */
const KEPT = { serviceWorkers: 'allow' } as const;

const firstScore = (page: Page) => page.locator('.card svg.dw-score').first().waitFor();

/** Until the service worker has everything and would answer the next visit. */
async function keptForOffline(page: Page): Promise<void> {
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
}

describe('what others wrote', () => {
  it('goes along with its licences, which the page of keys links to', async () => {
    const { page, context, complaints } = await visit(browser, address, '#/help/keys', KEPT);
    const packages = await read(page, 'licences of the packages');
    const manifest = JSON.parse(readFileSync('package.json', 'utf8'));
    const offline = await read(page, 'of what works offline');
    const shipped = Object.keys(manifest.dependencies);
    expect(shipped.length).toBeGreaterThan(5);
    for (const name of shipped) {
      expect(packages + offline).toMatch(new RegExp(`^## ${name} - .+\\(`, 'mu'));
    }
    expect(await read(page, 'licence of the fonts')).toContain('SIL OPEN FONT LICENSE');
    await context.close();
    expect(complaints).toEqual([]);
  });
});

/** The text that a link of the page leads to. */
async function read(page: Page, link: string): Promise<string> {
  const href = await page.getByRole('link', { name: link }).getAttribute('href');
  const answer = await page.request.get(new URL(href ?? '', page.url()).href);
  expect(answer.ok()).toBe(true);
  return answer.text();
}

describe('without a network', () => {
  it('the app starts, shows scores and opens every page from an address', async () => {
    const served = await serveFolder(folder);
    const { page, context, complaints } = await visit(browser, served.address, '', KEPT);
    await firstScore(page);
    await keptForOffline(page);
    await served.close();

    await page.reload();
    await firstScore(page);
    await page.getByText('33 phrases', { exact: true }).waitFor();
    const href = await page.locator('.card h2 a').first().getAttribute('href');
    const deep = await context.newPage();
    const more = watch(deep, served.address);
    await deep.goto(`${served.address}${href}`);
    await deep.locator('main svg').first().waitFor();
    for (const file of ['licences.md', 'licences-offline.md', 'licence-of-fonts.txt']) {
      expect(await deep.evaluate(async (f) => (await fetch(f)).status, file), file).toBe(200);
    }
    // Import needs its worker, which has never been used with a network.
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring phrases in …' }).click();
    await (await chooser).setFiles({
      name: 'no.json',
      mimeType: 'application/json',
      buffer: Buffer.from('[]'),
    });
    await page.getByText('there is no phrase and no library here').waitFor();
    await context.close();
    expect([...complaints, ...more]).toEqual([]);
  });

  it('a new version is offered, and used only when asked for', async () => {
    const copy = mkdtempSync(path.join(path.dirname(folder), 'app-test-copy-'));
    cpSync(folder, copy, { recursive: true });
    const served = await serveFolder(copy);
    try {
      const { page, context, complaints } = await visit(browser, served.address, '', KEPT);
      await firstScore(page);
      await keptForOffline(page);
      await page.reload();
      await firstScore(page);
      expect(await page.getByText('A new version of Degreewise is ready').count()).toBe(0);

      appendFileSync(path.join(copy, 'sw.js'), '\n// another version\n');
      await page.reload();
      await page.getByText('A new version of Degreewise is ready').waitFor();
      const still = await page.evaluate(async () => {
        const registration = await navigator.serviceWorker.getRegistration();
        return registration?.waiting !== null;
      });
      expect(still).toBe(true);
      const loaded = page.waitForEvent('load');
      await page.getByRole('button', { name: 'Use it now' }).click();
      await loaded;
      await firstScore(page);
      expect(await page.getByText('A new version of Degreewise is ready').count()).toBe(0);
      await context.close();
      expect(complaints).toEqual([]);
    } finally {
      await served.close();
      rmSync(copy, { recursive: true, force: true });
    }
  });
});

describe('installing', () => {
  it('the browser finds nothing against it', async () => {
    const { page, context } = await visit(browser, address, '', KEPT);
    await firstScore(page);
    await keptForOffline(page);
    const session = await context.newCDPSession(page);
    const manifest = await session.send('Page.getAppManifest');
    expect(manifest.errors).toEqual([]);
    const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
    // A profile of a test is off the record, which is all that may stand against it.
    expect(installabilityErrors.map((e) => e.errorId).filter((e) => e !== 'in-incognito')).toEqual(
      [],
    );
    await context.close();
  });

  it('icons are as large as the manifest says (PNG, IHDR)', () => {
    const manifest = JSON.parse(readFileSync(path.join(folder, 'manifest.webmanifest'), 'utf8'));
    expect(manifest.display).toBe('standalone');
    const sizes = manifest.icons.flatMap((icon: { src: string; sizes: string }) => {
      if (icon.sizes === 'any') return [];
      const png = readFileSync(path.join(folder, icon.src));
      expect(`${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`).toBe(icon.sizes);
      return [icon.sizes];
    });
    expect(sizes).toEqual(['192x192', '512x512', '512x512']);
  });
});

describe('what the page may do', () => {
  it('nothing is evaluated, and nothing is fetched from elsewhere', async () => {
    const { page, context } = await visit(browser, address, '', KEPT);
    await firstScore(page);
    // Each is tried by a script of the page, since the debugger is not bound by the policy.
    const blocked = await page.evaluate(async () => {
      const violations: string[] = [];
      document.addEventListener('securitypolicyviolation', (e) => {
        violations.push(e.effectiveDirective);
      });
      const inline = document.createElement('script');
      inline.textContent = 'window.wasRun = true';
      document.body.append(inline);
      const style = document.createElement('style');
      style.textContent = 'body { display: none }';
      document.body.append(style);
      const image = new Image();
      image.src = 'https://elsewhere.invalid/x.png';
      await fetch('https://elsewhere.invalid/').catch(() => {});
      await new Promise((resolve) => setTimeout(resolve, 100));
      return { violations: violations.sort(), wasRun: 'wasRun' in window };
    });
    expect(blocked.wasRun).toBe(false);
    // Each is refused twice, by the header and by the policy in the page.
    expect([...new Set(blocked.violations)]).toEqual([
      'connect-src',
      'img-src',
      'script-src-elem',
      'style-src-elem',
    ]);
    const response = await page.request.get(address);
    expect(response.headers()['content-security-policy']).toContain("default-src 'self'");
    // WebAssembly alone is let in, for what hears recordings: it evaluates no text (CSP Level 3).
    const policy = response.headers()['content-security-policy'] ?? '';
    expect(policy.replace("'wasm-unsafe-eval'", '')).not.toContain('unsafe');
    // The page carries the policy itself, for hosts without headers.
    expect(await response.text()).toMatch(/<meta http-equiv="Content-Security-Policy"/u);
    await context.close();
  });
});

/** As text, since the page has none of our helpers. */
const WATCH_FIRST_SCORE = `new MutationObserver((_, observer) => {
  if (document.querySelector('.card svg.dw-score') === null) return;
  observer.disconnect();
  window.firstScore = performance.now();
}).observe(document, { childList: true, subtree: true })`;

/** Fonts are asked for by the score, when it is drawn. */
const ASKED_BEFORE_FIRST_SCORE = `performance.getEntriesByType('resource')
  .filter((r) => r.startTime <= window.firstScore || r.name.endsWith('.woff2'))
  .map((r) => r.name)`;

describe('first load', () => {
  it('to the first score takes at most 180 kB of script, 30 kB of samples, gzipped, and 50 kB of fonts', async () => {
    const context = await browser.newContext({ serviceWorkers: 'block' });
    const page = await context.newPage();
    await page.addInitScript(WATCH_FIRST_SCORE);
    await page.goto(address);
    await firstScore(page);
    await page.evaluate(() => document.fonts.ready.then(() => undefined));
    // By the clock of the page: what it asks for at rest, afterwards, may come before we hear of the score.
    const asked: string[] = await page.evaluate(ASKED_BEFORE_FIRST_SCORE);
    const files = asked.map((url) => {
      const file = path.join(folder, new URL(url).pathname);
      const bytes = readFileSync(file);
      return {
        name: path.basename(file),
        bytes: file.endsWith('.js') ? gzipSync(bytes).length : bytes.length,
      };
    });
    // Data, which the page asks for in the same way.
    const isSamples = (name: string) => name.startsWith('samples-');
    const total = (list: typeof files) => list.reduce((bytes, f) => bytes + f.bytes, 0);
    const sum = (ending: string) =>
      total(files.filter((f) => f.name.endsWith(ending) && !isSamples(f.name)));
    const samples = files.filter((f) => isSamples(f.name));
    const list = files
      .filter((f) => f.name.endsWith('.js'))
      .map((f) => `  ${f.name} ${(f.bytes / 1000).toFixed(1)} kB`);
    console.info(
      `first load: ${(sum('.js') / 1000).toFixed(1)} kB of script (gzip), ` +
        `${(sum('.woff2') / 1000).toFixed(1)} kB of fonts\n${list.join('\n')}`,
    );
    expect(sum('.js')).toBeLessThanOrEqual(180_000);
    // All of them in one piece.
    expect(samples.length).toBe(1);
    expect(total(samples)).toBeLessThanOrEqual(30_000);
    expect(sum('.woff2')).toBeLessThanOrEqual(50_000);
    // Otherwise nothing was measured.
    expect(sum('.woff2')).toBeGreaterThan(10_000);
    await context.close();
  });
});
