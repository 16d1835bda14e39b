import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { chromium } from 'playwright';
import { describe, expect, inject, it } from 'vitest';
import { writeWav } from '../../src/io/wav/write';
import { expectAccessible, visit } from './browser';

const RATE = 48_000;
/** How far each string is off, in cents, from the sixth; hertz of the open strings are handbook values (ISO 16). */
const STRINGS = [
  { string: 6, hertz: 82.41, cents: 14 },
  { string: 3, hertz: 196, cents: 0 },
  { string: 1, hertz: 329.63, cents: -37 },
] as const;
const SECONDS = 1.2;
/** Readings of each from which the middle one is taken. */
const ENOUGH = 3;

/** One string after the other, each eight partials that die away: nothing of it is computed by the program. */
function detuned(): Float32Array {
  const each = SECONDS * RATE;
  return Float32Array.from({ length: STRINGS.length * each }, (_, i) => {
    const { hertz, cents } = STRINGS[Math.floor(i / each)]!;
    const t = (i % each) / RATE;
    const omega = 2 * Math.PI * hertz * 2 ** (cents / 1200);
    let v = 0;
    for (let h = 1; h <= 8; h++) v += (Math.exp(-0.5 * h * t) / h) * Math.sin(h * omega * t);
    // Begun and ended without a click.
    return 0.25 * v * Math.min(1, t / 0.01, (SECONDS - t) / 0.05);
  });
}

interface Told {
  readonly string: number;
  readonly cents: number;
}

function toldIn(texts: readonly string[]): readonly Told[] {
  return texts.flatMap((text): Told[] => {
    const m = /^String (\d+), .*: (?:in tune|(\d+) cents too (high|low))$/u.exec(text);
    if (m === null) return [];
    return [{ string: Number(m[1]), cents: Number(m[2] ?? 0) * (m[3] === 'low' ? -1 : 1) }];
  });
}

describe('the tuner', () => {
  it('says in words that no microphone may be used, and tells detuned strings within 3 cents', async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'tuner-'));
    const wav = path.join(folder, 'strings.wav');
    writeFileSync(wav, writeWav(detuned(), RATE));
    const browser = await chromium.launch({
      executablePath: '/usr/bin/chromium',
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--use-fake-device-for-media-stream',
        `--use-file-for-fake-audio-capture=${wav}`,
      ],
    });
    try {
      const { page, context, complaints } = await visit(browser, inject('appAddress'));
      await page.getByRole('link', { name: 'First Ferry Out' }).first().click();
      await page.getByRole('button', { name: 'Practise it' }).click();
      const tune = page.getByRole('button', { name: 'Tune with the microphone' });
      await tune.click();
      await page.getByText('There is no microphone that may be used.', { exact: false }).waitFor();
      await tune.waitFor();

      await context.grantPermissions(['microphone']);
      await tune.click();
      await page.getByText('Nothing is recorded', { exact: false }).waitFor();
      await page.evaluate(() => {
        const seen: string[] = [];
        Object.assign(window, { seen });
        const words = document.querySelector('.tuner-words')!;
        new MutationObserver(() => seen.push(words.textContent ?? '')).observe(words, {
          childList: true,
          characterData: true,
          subtree: true,
        });
      });
      const told = async () =>
        toldIn(await page.evaluate(() => (window as unknown as { seen: string[] }).seen));
      // It plays again and again.
      const fewest = async () => {
        const all = await told();
        return Math.min(
          ...STRINGS.map(({ string }) => all.filter((t) => t.string === string).length),
        );
      };
      await expect.poll(fewest, { timeout: 30_000 }).toBeGreaterThanOrEqual(ENOUGH);
      await expectAccessible(page);
      const all = await told();
      for (const { string, cents } of STRINGS) {
        const own = all.filter((t) => t.string === string).map((t) => t.cents);
        const middle = own.sort((a, b) => a - b)[own.length >> 1]!;
        expect(Math.abs(middle - cents), `string ${string}: ${own.join(' ')}`).toBeLessThanOrEqual(
          3,
        );
      }
      // The microphone is let go.
      await page.getByRole('button', { name: 'Let the microphone go' }).click();
      await tune.waitFor();
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
