/**
 * Draws phrases in which each sign is crowded, to be looked at: `npx tsx tests/e2e/sign-sheet.ts
 * FOLDER [NAME] [SCALE]`. NAME is a regular expression, SCALE 2 unless told. Says what runs into what.
 */
import { mkdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { engrave } from '../../src/engrave/engraver';
import { geometryFaults } from '../support/engraving';
import { SIGN_SHEET } from '../support/sign-sheet';
import { launchBrowser } from './browser';

const FONTS = path.resolve(import.meta.dirname, '../../src/engrave/font');
const face = (family: string, file: string, weight = 'normal') =>
  `@font-face{font-family:'${family}';font-weight:${weight};src:url(data:font/woff2;base64,${readFileSync(
    path.join(FONTS, file),
  ).toString('base64')})}`;
const STYLE = [
  face('Degreewise Music', 'degreewise-music.woff2'),
  face('Degreewise Text', 'degreewise-text.woff2'),
  face('Degreewise Text', 'degreewise-text-bold.woff2', 'bold'),
  'body{margin:8px;background:#fff;color:#000} svg{display:block;margin-bottom:10px}',
].join('');

async function main(folder: string, word: string, scale: number): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage({ deviceScaleFactor: scale });
    for (const { name, phrase, options } of SIGN_SHEET) {
      if (!new RegExp(word).test(name)) continue;
      const drawn = engrave(phrase, options).systems.map((s) => s.svg);
      await page.setViewportSize({ width: options.width + 16, height: 100 });
      await page.setContent(`<style>${STYLE}</style>${drawn.join('')}`);
      await page.evaluate('document.fonts.ready');
      // In pieces that a screen shows at full size.
      const width = options.width + 16;
      const height = Number(await page.evaluate('document.documentElement.scrollHeight'));
      const piece = scale > 2 ? Math.ceil(1_600 / scale) : width;
      for (let x = 0; x < width; x += piece) {
        const clip = { x, y: 0, width: Math.min(piece, width - x), height };
        const file = `${name}@${scale}${piece < width ? `-${x / piece + 1}` : ''}.png`;
        await page.screenshot({ path: path.join(folder, file), clip, fullPage: true });
      }
      console.log([name, ...geometryFaults(phrase, options)].join('\n  '));
    }
  } finally {
    await browser.close();
  }
}

const [folder, word = '', scale = '2'] = process.argv.slice(2);
if (folder === undefined) throw new Error('Say into which folder: sign-sheet.ts FOLDER [NAME]');
await main(path.resolve(folder), word, Number(scale));
