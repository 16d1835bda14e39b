import { readdirSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser } from 'playwright';
import { launchBrowser } from './browser';

/**
 * A first visit on an emulated slow phone, to the first music and to the first card of the library:
 * `npx tsx tests/e2e/first-load.ts FOLDER [FOLDER …]` with builds of the app, in turn, so that they
 * meet the same load of the machine. Goal: the first music after 2.9 s.
 *
 * The phone: CPU at a quarter (`Emulation.setCPUThrottlingRate`) and the profile that the developer
 * tools of Chromium call Fast 3G (from memory: 1.6 Mbit/s down, 750 kbit/s up, each less a tenth,
 * 562.5 ms to the first byte). Text is sent packed (gzip), as hosts do.
 */
const ROUNDS = 5;
const FAST_3G = {
  offline: false,
  downloadThroughput: (1.6 * 1024 * 1024 * 0.9) / 8,
  uploadThroughput: (750 * 1024 * 0.9) / 8,
  latency: 150 * 3.75,
};

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.webmanifest': 'application/manifest+json',
  '.woff2': 'font/woff2',
};

/** Serves a folder as a usual host does: packed, kept by the browser. */
async function servePacked(folder: string): Promise<{ address: string; close: () => void }> {
  const files = new Map<string, Buffer>();
  for (const f of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!f.isFile()) continue;
    const file = path.join(f.parentPath, f.name);
    const body = readFileSync(file);
    const packed = /\.(?:woff2|png)$/u.test(file) ? body : gzipSync(body);
    files.set(`/${path.relative(folder, file)}`, packed);
  }
  const server = createServer((request, response) => {
    const name = request.url === '/' ? '/index.html' : (request.url ?? '');
    const body = files.get(name);
    if (body === undefined) {
      response.writeHead(404).end();
      return;
    }
    const ending = path.extname(name);
    response.writeHead(200, {
      'Content-Type': TYPES[ending] ?? 'application/octet-stream',
      'Content-Length': body.length,
      'Cache-Control': 'max-age=3600',
      ...(/\.(?:woff2|png)$/u.test(name) ? {} : { 'Content-Encoding': 'gzip' }),
    });
    response.end(body);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return { address: `http://127.0.0.1:${port}/`, close: () => server.close() };
}

interface Seen {
  /** Milliseconds from the start of the navigation to the frame that shows the first music, its fonts with it. */
  readonly music: number;
  /** The same to the first score of a card: the library is there and can be used. */
  readonly score: number;
  readonly requests: number;
  /** Bytes over the network up to then, heads included. */
  readonly bytes: number;
}

/** Notes when music is on screen; as text, since the page has none of our helpers. */
const WATCH = `(() => {
  const score = () => document.querySelector('.card svg.dw-score') !== null;
  const music = () =>
    [...document.querySelectorAll('svg.dw-score')].some((e) => e.checkVisibility()) &&
    [...document.fonts].some((f) => f.family.includes('Degreewise Music') && f.status === 'loaded');
  const seen = { music, score };
  window.seen = {};
  const look = () => {
    for (const [name, there] of Object.entries(seen)) {
      if (!there()) continue;
      delete seen[name];
      requestAnimationFrame(() => setTimeout(() => { window.seen[name] = performance.now(); }));
    }
    if (Object.keys(seen).length > 0) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})()`;

async function firstVisit(browser: Browser, address: string): Promise<Seen> {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    deviceScaleFactor: 2,
    isMobile: true,
    hasTouch: true,
  });
  try {
    const page = await context.newPage();
    await page.addInitScript(WATCH);
    const session = await context.newCDPSession(page);
    await session.send('Network.enable');
    await session.send('Network.emulateNetworkConditions', FAST_3G);
    await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    let requests = 0;
    let bytes = 0;
    session.on('Network.requestWillBeSent', () => {
      requests++;
    });
    session.on('Network.loadingFinished', (e) => {
      bytes += e.encodedDataLength;
    });
    await page.goto(address, { waitUntil: 'commit' });
    await page
      .locator('.card svg.dw-score')
      .first()
      .waitFor({ state: 'attached', timeout: 60_000 });
    const seen = { requests, bytes };
    // Evaluated by the debugger, which the page's policy does not bind.
    const at = 'new Promise((r) => setTimeout(() => r(window.seen), 1500))';
    return { ...seen, ...(await page.evaluate<{ music: number; score: number }>(at)) };
  } finally {
    await context.close();
  }
}

async function main(folders: readonly string[]): Promise<void> {
  if (folders.length === 0) throw new Error('name the folder of a build, such as dist/app');
  const browser = await launchBrowser();
  const seen = new Map<string, Seen[]>(folders.map((f) => [f, []]));
  try {
    for (let round = 0; round <= ROUNDS; round++) {
      for (const folder of folders) {
        const served = await servePacked(folder);
        const visit = await firstVisit(browser, served.address);
        served.close();
        // The first round warms the browser up.
        if (round > 0) seen.get(folder)?.push(visit);
      }
    }
  } finally {
    await browser.close();
  }
  for (const [folder, all] of seen) {
    const times = (of: 'music' | 'score') =>
      all
        .map((s) => s[of] / 1000)
        .sort((a, b) => a - b)
        .map((t) => t.toFixed(2))
        .join(', ');
    const middle = [...all].sort((a, b) => a.score - b.score)[Math.floor(all.length / 2)];
    console.log(
      `${folder}: first music after ${times('music')} s, first card after ${times('score')} s; ` +
        `${middle?.requests} requests, ${((middle?.bytes ?? 0) / 1000).toFixed(0)} kB`,
    );
  }
}

await main(process.argv.slice(2));
