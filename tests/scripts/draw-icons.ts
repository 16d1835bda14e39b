import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { chromium } from 'playwright';

/**
 * Draws the PNG icons of the app from `icon.svg`: run with `npx tsx tests/scripts/draw-icons.ts`
 * after the drawing was changed. The maskable one is drawn smaller, inside the part that any mask
 * leaves (the middle four fifths, W3C manifest).
 */
const folder = path.resolve(import.meta.dirname, '../../src/ui/public');
const drawing = readFileSync(path.join(folder, 'icon.svg'), 'utf8');
const ICONS = [
  { name: 'icon-180.png', size: 180, inset: 0, square: true },
  { name: 'icon-192.png', size: 192, inset: 0, square: false },
  { name: 'icon-512.png', size: 512, inset: 0, square: false },
  { name: 'icon-mask-512.png', size: 512, inset: 0.1, square: true },
] as const;

mkdirSync(folder, { recursive: true });
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu'],
});
for (const { name, size, inset, square } of ICONS) {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  const margin = Math.round(size * inset);
  const paper = square ? '#fffdf7' : 'transparent';
  await page.setContent(
    `<body style="margin:0;background:${paper}"><div style="padding:${margin}px">${drawing.replace(
      '<svg ',
      `<svg width="${size - 2 * margin}" height="${size - 2 * margin}" style="display:block" `,
    )}</div></body>`,
  );
  writeFileSync(path.join(folder, name), await page.screenshot({ omitBackground: true }));
  await page.close();
}
await browser.close();
