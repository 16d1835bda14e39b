import { chromium } from 'playwright';
import type { Phrase } from '../../src/core/phrase/types';
import { bundlePage } from '../e2e/bundle-page';
import { build } from '../support/build';
import { degreesOf } from '../support/engraving';

/** What the page is given and gives back; see `tests/browser/engrave-bench-page.ts`. */
interface Input {
  readonly plain: Phrase;
  readonly full: Phrase;
  readonly edited: number;
  readonly degrees: readonly (readonly [string, string])[];
  readonly rounds: number;
}

interface Result {
  readonly ours: number;
  readonly oursFull: number;
  readonly stock: number;
  readonly stockFull: number;
  readonly editedBar: number;
  readonly allAgain: number;
}

/**
 * How long engraving takes beside stock VexFlow 5, in one run in Chromium, drawing and layout
 * together: `npx tsx tests/bench/engrave.ts`. Times depend on the machine; the ratios do not much.
 * Goals: at most half of VexFlow's time for what both draw (staff, tablature, accidentals, beams),
 * one bar of twelve edited at most half of drawing all again.
 */
const PLAIN = [
  'e 4/5 4/7 3/5 3/7 q 2/5 2/8',
  'e 3/5 3/7 3/5 4/7 q 3/7 -',
  's 2/5 2/8 2/5 3/7 e 3/5 4/7 q 3/5+2/5 3/7',
];
const FULL = [
  'e 4/5 4/7 3/5 3/7 q 2/5(bend:F#4) 2/8(vib)',
  'e 3/5 3/7(h) 3/5(p) 4/7 q 3/7 -',
  's 2/5 2/8 2/5 3/7 e 3/5@pm 4/7@pm q 3/5(in:-1)+2/5(in:-1) 3/7(vib)',
];
const LANE = 'A7 | D7 | A7 | A7 | D7 | D7 | A7 | F#7 | Bm7 | E7 | A7 F#7 | Bm7 E7';

function twelve(bars: readonly string[], chords: string): Phrase {
  const line = Array.from({ length: 12 }, (_, i) => bars[i % bars.length]).join(' | ');
  return build(line, { key: 'G', chords });
}

async function main(): Promise<void> {
  const full = twelve(FULL, LANE);
  const input: Input = {
    plain: twelve(PLAIN, ''),
    full,
    edited: full.voices[0].events.findIndex((e) => e.onset >= 4 * 40_320),
    degrees: [...degreesOf(full)].map(([id, label]) => [id, label.text]),
    rounds: 40,
  };
  const stock = await bundlePage('tests/browser/engrave-bench-stock.ts');
  const code = await bundlePage('tests/browser/engrave-bench-page.ts');
  const browser = await chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu'],
  });
  const page = await browser.newPage();
  await page.setContent('<!doctype html><body></body>');
  await page.addScriptTag({ content: stock });
  await page.addScriptTag({ content: code });
  const r = await page.evaluate(`runBench(${JSON.stringify(input)})`);
  await browser.close();
  report(r as Result);
}

function report(r: Result): void {
  const ms = (n: number) => `${n.toFixed(1)} ms`;
  const ratio = (a: number, b: number) => (a / b).toFixed(2);
  console.log('12 bars, drawing and layout, medians');
  console.log(
    `  what both draw: ours ${ms(r.ours)}, VexFlow ${ms(r.stock)}, ratio ${ratio(r.ours, r.stock)} (goal 0.50)`,
  );
  console.log(`  our own layer (chords, degrees, techniques): ${ms(r.oursFull - r.ours)}`);
  console.log(
    `  in all: ours ${ms(r.oursFull)}, VexFlow with chords and degrees as text ${ms(r.stockFull)}, ratio ${ratio(r.oursFull, r.stockFull)}`,
  );
  console.log(
    `  one bar edited: ${ms(r.editedBar)}, all again ${ms(r.allAgain)}, ratio ${ratio(r.editedBar, r.allAgain)} (goal 0.50)`,
  );
}

await main();
