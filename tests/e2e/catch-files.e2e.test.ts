import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright';
import { describe, expect, inject, it } from 'vitest';
import { writeWav } from '../../src/io/wav/write';
import { renderPhrase } from '../../src/sound/render';
import { build } from '../support/build';
import { launchBrowser, visit } from './browser';

const address = inject('appAddress');
/** C4, E4 and A4 by our own player, as other programs press sound together. */
const SOUNDS = path.resolve(import.meta.dirname, 'sounds');

/** What the page has heard, by name. */
async function heard(page: Page, file: string): Promise<readonly string[]> {
  const { hash } = new URL(page.url());
  await page.goto('about:blank');
  await page.goto(address + hash);
  await page.getByLabel('Or a recording from a file').setInputFiles(file);
  await page.locator('.pitch-picture .heard text').first().waitFor({ timeout: 60_000 });
  const names = await page.locator('.pitch-picture .heard text').allTextContents();
  return names.map((n) => n.replace(/ ?(?:begin|length)?\?$/u, ''));
}

describe('a recording from a file', () => {
  it('is heard whichever way it is pressed together', async () => {
    const browser = await launchBrowser();
    try {
      const { page, complaints } = await visit(browser, address, '#/catch');
      const files = readdirSync(SOUNDS);
      expect(files.map((f) => path.extname(f)).sort()).toEqual([
        '.flac',
        '.m4a',
        '.mp3',
        '.ogg',
        '.ogg',
      ]);
      for (const f of files) {
        expect([f, await heard(page, path.join(SOUNDS, f))]).toEqual([f, ['C4', 'E4', 'A4']]);
      }
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
    }
  });

  it('is heard slower at its own pitch, alone and with its phrase', async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'catch-slow-'));
    const wav = path.join(folder, 'a4.wav');
    const long = build('w 1/5 | w 1/5', { tempo: { bpm: 80, unit: 'quarter' } });
    writeFileSync(wav, writeWav(renderPhrase(long, { rate: 48_000, tail: 1 }), 48_000));
    const browser = await launchBrowser();
    try {
      const { page, complaints } = await visit(browser, address, '#/catch');
      await page.addInitScript(listenAlong);
      await heard(page, wav);
      const result = page.getByRole('region', { name: 'What was played' });
      await result.getByLabel('Speed').selectOption('50');
      for (const way of ['Hear the recording', 'Hear both together']) {
        await page.evaluate(() => Reflect.deleteProperty(window, 'played'));
        await result.getByRole('button', { name: way }).click();
        await page.waitForFunction(
          () => ((window as { played?: HTMLAudioElement }).played?.currentTime ?? 0) > 0,
        );
        const { hertz, speed } = await page.evaluate(() =>
          (window as unknown as { measure: () => Promise<Measured> }).measure(),
        );
        // A4 or one of its partials; half as fast it would be 220 Hz and its partials.
        const partial = Math.round(hertz / 440);
        expect([1, 2, 3], way).toContain(partial);
        expect(1200 * Math.abs(Math.log2(hertz / (440 * partial)))).toBeLessThan(10);
        expect(speed).toBeGreaterThan(0.4);
        expect(speed).toBeLessThan(0.6);
      }
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    }
  });
});

interface Measured {
  /** Of the strongest partial that comes out. */
  readonly hertz: number;
  /** Seconds of the recording in a second. */
  readonly speed: number;
}

/** Keeps hold of what the page plays, and measures it as it comes out. */
function listenAlong() {
  const Own = window.Audio;
  let played: HTMLAudioElement | null = null;
  window.Audio = class extends Own {
    constructor(src?: string) {
      super(src);
      played = this;
      Object.assign(window, { played });
    }
  };
  const measure = async (): Promise<Measured> => {
    const audio = played as unknown as HTMLAudioElement & { captureStream: () => MediaStream };
    const context = new AudioContext();
    const looks = new AnalyserNode(context, { fftSize: 16_384 });
    context.createMediaStreamSource(audio.captureStream()).connect(looks);
    await context.resume();
    const [from, began] = [audio.currentTime, performance.now()];
    await new Promise((done) => setTimeout(done, 1000));
    const speed = (1000 * (audio.currentTime - from)) / (performance.now() - began);
    const all = new Float32Array(looks.frequencyBinCount);
    looks.getFloatFrequencyData(all);
    const wide = context.sampleRate / looks.fftSize;
    await context.close();
    const [low, high] = [Math.round(150 / wide), Math.round(1500 / wide)];
    let top = low;
    for (let i = low; i < high; i++) if (all[i]! > all[top]!) top = i;
    // Between the bins: the top of a parabola through three.
    const [left, middle, right] = [all[top - 1]!, all[top]!, all[top + 1]!];
    return { hertz: (top + (left - right) / (2 * (left - 2 * middle + right))) * wide, speed };
  };
  Object.assign(window, { measure });
}
