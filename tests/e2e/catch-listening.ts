import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright';
import { writeWav } from '../../src/io/wav/write';
import { renderPhrase } from '../../src/sound/render';
import { SINGLE_NOTES } from '../support/single-notes';
import { CHROMIUM, launchHearing, visit } from './browser';
import { missingBlocks } from './missing-blocks';
import { serveFolder } from './serve-folder';

/**
 * Minutes of listening to a fake microphone: `npx tsx tests/e2e/catch-listening.ts FOLDER [MINUTES]` with a build of the app,
 * 30 minutes where not said. Told every five minutes: how late notes stand in the page after they have begun (at rest, and while the
 * page is used), what the page and its process take of memory, and what is missing of the sound.
 */
const [folder, minutes = '30'] = process.argv.slice(2);
if (folder === undefined) throw new Error('a folder with a build of the app is missing');
const RATE = 48_000;
const PART = 5;

interface Listened {
  /** Beginnings of sounds and changes of the list of notes, in ms of the page's clock. */
  onsets: number[];
  told: number[];
  blocks: number;
  /** Frames that did not come between one block and the next. */
  gaps: number;
  /** Largest delay of a block on its way to the page, in ms. */
  longest: number;
  contexts: AudioContext[];
}

/** Stands beside the page and hears the same blocks, with the moment at which each sound begins. */
function listenAlong() {
  const seen: Listened = { onsets: [], told: [], blocks: 0, gaps: 0, longest: 0, contexts: [] };
  Object.assign(window, { listened: seen, contexts: seen.contexts });
  const Context = window.AudioContext;
  window.AudioContext = class extends Context {
    constructor(options?: AudioContextOptions) {
      super(options);
      seen.contexts.push(this);
    }
  };
  let last = 0;
  let quiet = 0;
  // What the two clocks differ by, where a block is not held up: the least of the last seconds.
  const lately: number[] = [];
  const Node = window.AudioWorkletNode;
  window.AudioWorkletNode = class extends Node {
    constructor(context: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(context, name, options);
      const rate = context.sampleRate;
      if (name !== 'ear') return;
      // Before the page's own: that one hands the samples on.
      this.port.addEventListener('message', ({ data }) => {
        const { samples, until } = data as { samples: Float32Array; until: number };
        const differ = performance.now() - (1000 * until) / rate;
        lately.push(differ);
        if (lately.length > 100) lately.shift();
        const least = Math.min(...lately);
        seen.longest = Math.max(seen.longest, differ - least);
        if (last > 0) seen.gaps += until - samples.length - last;
        last = until;
        seen.blocks++;
        for (let i = 0; i < samples.length; i += 64) {
          let peak = 0;
          for (let k = i; k < i + 64; k++) peak = Math.max(peak, Math.abs(samples[k]!));
          if (peak < 0.02) quiet += 64;
          else {
            const at = (1000 * (until - samples.length + i)) / rate + least;
            if (quiet > 0.1 * rate) seen.onsets.push(at);
            quiet = 0;
          }
        }
      });
    }
  };
  document.addEventListener('DOMContentLoaded', () =>
    new MutationObserver((changes) => {
      const list = document.querySelector('.catch-live');
      if (changes.some((c) => list?.contains(c.target))) seen.told.push(performance.now());
    }).observe(document.body, { childList: true, characterData: true, subtree: true }),
  );
}

const place = mkdtempSync(path.join(tmpdir(), 'catch-listening-'));
const wav = path.join(place, 'played.wav');
writeFileSync(wav, writeWav(renderPhrase(SINGLE_NOTES, { rate: RATE, tail: 0 }), RATE));
const served = await serveFolder(folder);
const browser = await launchHearing(wav, CHROMIUM);

const round = (n: number) => Math.round(n * 10) / 10;

/** Takes what was seen since the last time. */
function taken(page: Page): Promise<Omit<Listened, 'contexts'>> {
  return page.evaluate(() => {
    const { listened } = window as unknown as { listened: Listened };
    const { onsets, told, blocks, gaps, longest } = listened;
    Object.assign(listened, { onsets: [], told: [], blocks: 0, gaps: 0, longest: 0 });
    return { onsets, told, blocks, gaps, longest };
  });
}

/** How late notes were told; those of which nothing was told within 0.9 s are counted. */
function lateness({ onsets, told }: Pick<Listened, 'onsets' | 'told'>): string {
  const waits = onsets.slice(0, -1).map((at) => (told.find((t) => t > at + 20) ?? Infinity) - at);
  const late = waits.filter((w) => w < 900).sort((a, b) => a - b);
  const at = (share: number) => round(late[Math.floor(share * (late.length - 1))] ?? Number.NaN);
  const over = late.filter((w) => w > 300).length;
  return `${late.length} of ${waits.length} notes told, after ${at(0.5)} ms (median), ${at(0.95)} (19 in 20), ${at(1)} at most, ${over} later than 300`;
}

/** Megabytes: the page's heap after it was swept, and its whole process with the worker. */
async function memory(page: Page): Promise<string> {
  const cdp = await page.context().newCDPSession(page);
  await cdp.send('HeapProfiler.collectGarbage');
  await cdp.send('Performance.enable');
  const { metrics } = await cdp.send('Performance.getMetrics');
  await cdp.detach();
  const all = await browser.newBrowserCDPSession();
  const { processInfo } = await all.send('SystemInfo.getProcessInfo');
  await all.detach();
  const resident = processInfo
    .filter((p) => p.type === 'renderer')
    .map((p) => /VmRSS:\s+(\d+)/u.exec(readFileSync(`/proc/${p.id}/status`, 'utf8'))?.[1])
    .map((kb) => Number(kb) / 1000);
  const heap = metrics.find((m) => m.name === 'JSHeapUsedSize')?.value ?? Number.NaN;
  return `heap of the page ${round(heap / 1e6)} MB, its process ${Math.round(Math.max(...resident))} MB`;
}

/** Half a minute of a player's use: fields, scrolling, another size of the window. */
async function use(page: Page): Promise<void> {
  for (const end = Date.now() + 30_000; Date.now() < end; ) {
    await page.getByLabel('Chords, going round').pressSequentially('I7 IV7 ', { delay: 60 });
    await page.mouse.wheel(0, 500);
    await page.keyboard.press('Tab');
    await page.mouse.wheel(0, -500);
    await page.getByLabel('Chords, going round').fill('');
    await page.setViewportSize({ width: 900 + (Date.now() % 300), height: 800 });
  }
}

try {
  const { page, complaints } = await visit(browser, served.address, '#/', { ahead: true });
  await page.addInitScript(listenAlong);
  await page.goto(`${served.address}#/catch`);
  await page.reload();
  await page.getByRole('button', { name: /^Listen/u }).click();
  await page.locator('.catch-live li').first().waitFor({ timeout: 60_000 });
  await page.waitForTimeout(5000);
  await taken(page);
  console.log(`begun: ${await memory(page)}`);
  for (let at = 0; at < Number(minutes); at += PART) {
    const wait = 60_000 * Math.min(PART, Number(minutes) - at);
    const rest = await missingBlocks(page, () => page.waitForTimeout(wait - 40_000));
    const calm = await taken(page);
    const used = await missingBlocks(page, () => use(page));
    const busy = await taken(page);
    console.log(`${Math.min(at + PART, Number(minutes))} min: ${await memory(page)}`);
    console.log(`  at rest: ${lateness(calm)}`);
    console.log(`  in use:  ${lateness(busy)}`);
    console.log(
      `  ${calm.blocks + busy.blocks} blocks, ${calm.gaps + busy.gaps} frames missing between them; longest on its way ${round(calm.longest)} and ${round(busy.longest)} ms; computed too late: at rest ${rest.ours} blocks of 128 (${rest.bare} of a bare context), in use ${used.ours} (${used.bare})`,
    );
  }
  // All that is remembered is kept, while it goes on listening.
  await page.getByRole('button', { name: 'Keep what I just played' }).click();
  await page.locator('#catch-result').waitFor({ timeout: 600_000 });
  const kept = await page.locator('#catch-result ~ [role=status]').textContent();
  console.log(`kept: ${kept} ${await memory(page)}`);
  await page.getByRole('button', { name: 'Stop listening' }).click();
  if (complaints.length > 0) console.log(complaints.join('\n'));
} finally {
  await browser.close();
  await served.close();
  rmSync(place, { recursive: true });
}
process.exit(0);
