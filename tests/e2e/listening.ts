import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright';
import { launchBrowser, visit } from './browser';
import { missingBlocks } from './missing-blocks';
import { serveFolder } from './serve-folder';

/**
 * How soon a press is heard, how close a mark is to its sound, and whether blocks of sound are missing
 * while the page is busy: `npx tsx tests/e2e/listening.ts FOLDER` with a build of the app.
 *
 * A worklet of our own stands between the app and the loudspeaker and tells when its first sample
 * comes and how far the clock of the sound falls behind that of the wall. Goals: heard within 100 ms,
 * marked within a frame, no block missing, at most 60 kB of script for all that sounds.
 */
const TAP = `
  registerProcessor('tap', class extends AudioWorkletProcessor {
    constructor() {
      super();
      this.quiet = true; this.silent = 0; this.least = Infinity; this.most = 0;
      this.port.onmessage = (e) => {
        if (e.data === 'lag') {
          this.port.postMessage({ lag: this.most - this.least });
          this.least = Infinity; this.most = 0;
        }
      };
    }
    process([input]) {
      // How far this clock is behind the one on the wall, in ms, but for a constant.
      const lag = Date.now() - 1000 * currentTime;
      this.least = Math.min(this.least, lag); this.most = Math.max(this.most, lag);
      const samples = input[0];
      const first = samples === undefined ? -1 : samples.findIndex((v) => Math.abs(v) > 1e-4);
      if (first < 0) { if (++this.silent > 20) this.quiet = true; }
      else {
        this.silent = 0;
        if (this.quiet) this.port.postMessage({ heard: currentTime + first / sampleRate });
        this.quiet = false;
      }
      return true;
    }
  });`;

interface Measured {
  pressed: number;
  heard: number | null;
  marked: number | null;
  lag: number | null;
  contexts: AudioContext[];
  port: MessagePort | null;
}

function listenIn(tap: string) {
  const m: Measured = {
    pressed: 0,
    heard: null,
    marked: null,
    lag: null,
    contexts: [],
    port: null,
  };
  Object.assign(window, { measured: m, contexts: m.contexts });
  const add = AudioWorklet.prototype.addModule;
  const contexts = new WeakMap<AudioWorklet, AudioContext>();
  const Own = AudioContext;
  window.AudioContext = class extends Own {
    constructor(options?: AudioContextOptions) {
      super(options);
      contexts.set(this.audioWorklet, this);
      m.contexts.push(this);
    }
  };
  AudioWorklet.prototype.addModule = async function (this: AudioWorklet, url: string | URL) {
    const own = URL.createObjectURL(new Blob([tap], { type: 'text/javascript' }));
    await Promise.all([add.call(this, own), add.call(this, url)]);
  };
  const connect = AudioNode.prototype.connect as (this: AudioNode, to: AudioNode) => AudioNode;
  AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
    const bare = (this as { bare?: true }).bare === true;
    if (bare || !(to instanceof AudioDestinationNode)) return connect.call(this, to);
    const context = to.context as AudioContext;
    const node = new AudioWorkletNode(context, 'tap');
    m.port = node.port;
    node.port.onmessage = (e: MessageEvent<{ heard?: number; lag?: number }>) => {
      if (e.data.lag !== undefined) m.lag = e.data.lag;
      if (e.data.heard === undefined || m.heard !== null) return;
      // When it leaves the loudspeaker, on the clock of the page.
      const now = context.getOutputTimestamp();
      m.heard = (now.performanceTime ?? 0) + 1000 * (e.data.heard - (now.contextTime ?? 0));
    };
    connect.call(this, node);
    return connect.call(node, to);
  } as typeof AudioNode.prototype.connect;
  const seen = new MutationObserver(() => {
    if (m.marked === null && document.querySelector('.sounding span') !== null) {
      m.marked = performance.now();
    }
  });
  document.addEventListener('DOMContentLoaded', () =>
    seen.observe(document.body, { childList: true, subtree: true }),
  );
  for (const type of ['pointerdown', 'keydown']) {
    window.addEventListener(
      type,
      () => {
        m.pressed = performance.now();
      },
      true,
    );
  }
}

const folder = process.argv[2];
if (folder === undefined) throw new Error('a folder with a build of the app is missing');
const served = await serveFolder(folder);
const browser = await launchBrowser();
const { page } = await visit(browser, 'about:blank', '', { bypassCSP: true, ahead: true });
await page.addInitScript(listenIn, TAP);
await page.goto(served.address);
await page.locator('.card-hear').first().waitFor();

const read = (p: Page) =>
  p.evaluate(() => {
    const { measured: m } = window as unknown as { measured: Measured };
    return { pressed: m.pressed, heard: m.heard, marked: m.marked, lag: m.lag };
  });
const reset = (p: Page) =>
  p.evaluate(() => {
    const { measured: m } = window as unknown as { measured: Measured };
    Object.assign(m, { heard: null, marked: null, lag: null });
    m.port?.postMessage('lag');
  });
const lag = async (p: Page) => {
  await reset(p);
  await p.waitForFunction(
    () => (window as unknown as { measured: Measured }).measured.lag !== null,
  );
  return (await read(p)).lag ?? Number.NaN;
};
const round = (n: number) => Math.round(n * 10) / 10;
const spread = (list: readonly number[]) => {
  const s = [...list].sort((a, b) => a - b);
  return `median ${round(s[Math.floor(s.length / 2)]!)} ms, worst ${round(s.at(-1)!)} ms (${s.map(round).join(' ')})`;
};

// Cards: everything has come, but nothing was ever played.
await page.waitForFunction(() => performance.getEntriesByName('fetched ahead').length > 0);
await page.waitForTimeout(1000);
const card = page.getByRole('button', { name: /^(?:Hear|Stop) Chalk down/u });
await card.click();
await page.waitForTimeout(1200);
const cold = await read(page);
console.log(`first press of all, on a card: ${round(cold.heard! - cold.pressed)} ms`);

// Scrolling while it plays.
await lag(page);
const idle = await missingBlocks(page, () => page.waitForTimeout(5000));
const scrolled = await missingBlocks(page, async () => {
  const t0 = Date.now();
  while (Date.now() - t0 < 5000) {
    await page.mouse.wheel(0, 700);
    await page.waitForTimeout(40);
  }
});
const missed = (m: typeof idle) => `${m.ours} blocks missing (${m.bare} of a bare context)`;
console.log(`5 s of rest: ${missed(idle)}; scrolling 5 s: ${missed(scrolled)}`);
console.log(`the sound fell behind by at most ${round(await lag(page))} ms for a while`);
await page.evaluate(() => window.scrollTo(0, 0));

// A phrase that begins with a note.
await page.goto(`${served.address}#/`);
await page.getByRole('link', { name: 'Chalk down the Sixth' }).first().click();
await page.getByRole('button', { name: 'Listen' }).waitFor();
const soon: number[] = [];
const marks: number[] = [];
for (let i = 0; i < 12; i++) {
  await page.waitForTimeout(500);
  await reset(page);
  await page.getByRole('button', { name: 'Listen' }).click();
  await page.waitForTimeout(900);
  const m = await read(page);
  soon.push(m.heard! - m.pressed);
  marks.push(m.marked! - m.heard!);
  await page.getByRole('button', { name: 'Stop' }).click();
}
console.log(`from press to sound: ${spread(soon)}`);
console.log(`from sound to mark: ${spread(marks)}`);

// Writing while it plays.
await page.getByRole('link', { name: 'Write in it' }).click();
await page.getByRole('button', { name: 'Listen from here' }).waitFor();
await page.keyboard.press(' ');
await page.waitForTimeout(500);
await lag(page);
const written = await missingBlocks(page, async () => {
  for (let i = 0; i < 30; i++) {
    await page.keyboard.press(String(3 + (i % 5)));
    await page.waitForTimeout(60);
    await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(60);
    if (i % 12 === 11) await page.keyboard.press(' ');
  }
});
console.log(`writing 30 notes: ${missed(written)}`);
console.log(`the sound fell behind by at most ${round(await lag(page))} ms for a while`);
const struck: number[] = [];
await page.waitForTimeout(2500);
for (let i = 0; i < 8; i++) {
  await page.keyboard.press('ArrowRight');
  await page.waitForTimeout(2200);
  await reset(page);
  await page.keyboard.press('7');
  await page.waitForTimeout(300);
  const m = await read(page);
  if (m.heard !== null) struck.push(m.heard - m.pressed);
}
console.log(`from key to written note: ${spread(struck)}`);

// What all of it weighs.
const assets = path.join(folder, 'assets');
const weights = readdirSync(assets)
  .filter((f) => /^(?:processor|player|course|accompany|playing|tuner)-.*\.js$/u.test(f))
  .map((f) => [f, gzipSync(readFileSync(path.join(assets, f))).length] as const);
for (const [f, n] of weights) console.log(`${f}: ${round(n / 1000)} kB gzip`);
await browser.close();
await served.close();
process.exit(0);
