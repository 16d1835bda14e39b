import type { Phrase } from '../../../core/phrase/types';
import { analyse } from '../../../core/understand/analyse';
import music from '../../../engrave/font/degreewise-music.woff2?url';
import textFont from '../../../engrave/font/degreewise-text.woff2?url';
import textBold from '../../../engrave/font/degreewise-text-bold.woff2?url';
import { GLYPHS } from '../../../engrave/font/glyphs';
import { type LegendEntry, legendOf } from '../../../engrave/legend/legend';
import type { Staves } from '../../../engrave/options';
import { type DegreeView, degreeLabels } from '../../score/degree-labels';
import { loadEngraver } from '../../score/engraver';

/** What a picture of a phrase shows. */
export interface ImageLook {
  readonly staves: Staves;
  readonly degrees: DegreeView;
  /** What the signs in it mean, under the music. */
  readonly legend: boolean;
}

/** px; about the width of printed music between its margins. */
const WIDTH = 760;
const MARGIN = 24;
const SYSTEM_GAP = 14;
const TITLE_SIZE = 22;

/** A font of ours as it is declared inside a picture. */
interface FontFile {
  readonly family: string;
  readonly weight: number;
  readonly url: string;
}

const FONTS: readonly FontFile[] = [
  { family: 'Degreewise Music', weight: 400, url: music },
  { family: 'Degreewise Text', weight: 400, url: textFont },
  { family: 'Degreewise Text', weight: 700, url: textBold },
];

let fonts: Promise<string> | null = null;

/** The fonts as style rules with the files inside, so that a picture looks the same anywhere. */
function fontRules(): Promise<string> {
  fonts ??= Promise.all(FONTS.map(fontRule)).then(
    (rules) => rules.join(''),
    (reason: unknown) => {
      fonts = null;
      throw reason;
    },
  );
  return fonts;
}

async function fontRule({ family, weight, url }: FontFile): Promise<string> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`a font of the program is missing (${response.status})`);
  const bytes = new Uint8Array(await response.arrayBuffer());
  const text = btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(''));
  return (
    `@font-face{font-family:'${family}';font-weight:${weight};` +
    `src:url(data:font/woff2;base64,${text}) format('woff2')}`
  );
}

interface Drawing {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
}

/**
 * A picture of the whole phrase under its title: black on white, with its fonts inside.
 * @param foot What is drawn below it, outside of its height.
 */
export async function scoreSvg(phrase: Phrase, look: ImageLook, foot = NO_FOOT): Promise<Drawing> {
  const [{ engrave }, rules] = await Promise.all([loadEngraver(), fontRules()]);
  const labels = degreeLabels(analyse(phrase), look.degrees);
  const options = {
    width: WIDTH,
    staves: look.staves,
    ...(labels === null ? {} : { degrees: labels }),
  };
  const systems = engrave(phrase, options);
  const title = phrase.meta.title.trim();
  let y = MARGIN + (title === '' ? 0 : TITLE_SIZE + SYSTEM_GAP);
  const placed = systems.map((s) => {
    const at = y;
    y += s.height + SYSTEM_GAP;
    // Each line is a whole <svg>; inside another one it takes a place.
    return s.svg.replace('<svg ', `<svg x="${MARGIN}" y="${at.toFixed(2)}" `);
  });
  const signs = look.legend ? legendOf(phrase, options) : [];
  const legend = legendSvg(signs, y + SYSTEM_GAP);
  y += legend.height;
  const width = WIDTH + 2 * MARGIN;
  const height = Math.ceil(y - SYSTEM_GAP + MARGIN);
  const heading =
    title === ''
      ? ''
      : `<title>${escapeXml(title)}</title><text x="${MARGIN}" y="${MARGIN + TITLE_SIZE}" ` +
        `font-family="'Degreewise Text',serif" font-size="${TITLE_SIZE}">${escapeXml(title)}</text>`;
  const whole = height + foot.height;
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${whole}" ` +
    `viewBox="0 0 ${width} ${whole}" color="#000" fill="#000"><style>${rules}</style>` +
    `<rect width="${width}" height="${whole}" fill="#fff"/>${heading}${placed.join('')}${legend.svg}` +
    `${foot.svg === '' ? '' : `<g transform="translate(0 ${height})">${foot.svg}</g>`}</svg>\n`;
  return { svg, width, height };
}

/** px; columns of the legend, room for a sign, and size of its words. */
const LEGEND_COLUMNS = 2;
const SIGN_ROOM = 78;
const LEGEND_SIZE = 13;
const LEGEND_GAP = 8;

/** Signs with what they mean, row by row, each row as high as its highest sign. */
function legendSvg(entries: readonly LegendEntry[], top: number): Foot {
  const column = WIDTH / LEGEND_COLUMNS;
  const parts: string[] = [];
  let y = top;
  for (let i = 0; i < entries.length; i += LEGEND_COLUMNS) {
    const row = entries.slice(i, i + LEGEND_COLUMNS);
    const height = Math.max(LEGEND_SIZE, ...row.map((e) => heightOf(e.svg)));
    row.forEach((e, k) => {
      const x = MARGIN + k * column;
      const at = y + (height - heightOf(e.svg)) / 2;
      parts.push(
        e.svg.replace('<svg ', `<svg x="${x.toFixed(2)}" y="${at.toFixed(2)}" `),
        `<text x="${(x + SIGN_ROOM).toFixed(2)}" y="${(y + height / 2 + LEGEND_SIZE / 3).toFixed(2)}" ` +
          `font-family="'Degreewise Text',serif" font-size="${LEGEND_SIZE}">${escapeXml(e.words)}</text>`,
      );
    });
    y += height + LEGEND_GAP;
  }
  return { svg: parts.join(''), height: entries.length === 0 ? 0 : y - top + SYSTEM_GAP };
}

/** px, as a drawing of ours says it. */
function heightOf(svg: string): number {
  return Number(/ height="([\d.]+)"/u.exec(svg)?.[1] ?? 0);
}

/** What stands below a picture. */
interface Foot {
  readonly svg: string;
  readonly height: number;
}

const NO_FOOT: Foot = { svg: '', height: 0 };

function escapeXml(text: string): string {
  return text
    .replaceAll(UNWRITABLE, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;');
}

/** Characters that XML 1.0 cannot hold. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
const UNWRITABLE = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/gu;

/** Dots to a px of the page: about 200 to the inch on paper. */
const SHARPNESS = 2;
/** Browsers refuse larger canvases. */
const MOST_SIDE = 16_384;
const MOST_AREA = 120_000_000;

/** The same picture as PNG bytes; a very long phrase becomes smaller rather than cut. */
export async function scorePng(phrase: Phrase, look: ImageLook): Promise<Uint8Array> {
  const { svg, width, height } = await scoreSvg(phrase, look, PROBE);
  const scale = Math.min(
    SHARPNESS,
    MOST_SIDE / height,
    MOST_SIDE / width,
    Math.sqrt(MOST_AREA / (width * height)),
  );
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    await fontsPainted(image, height);
    const { canvas, context } = canvasOf(width * scale, height * scale);
    context.drawImage(image, 0, 0, width, height, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
    if (blob === null) throw new Error('the browser could not make the picture');
    return new Uint8Array(await blob.arrayBuffer());
  } finally {
    URL.revokeObjectURL(url);
  }
}

function canvasOf(width: number, height: number) {
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width);
  canvas.height = Math.round(height);
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context === null) throw new Error('the browser has no room for the picture');
  return { canvas, context };
}

/** px; one square below the picture for each font. */
const CELL = 16;

/** A letter or sign in each font: it is invisible until the font is there. */
const PROBE: Foot = {
  height: CELL,
  svg: FONTS.map(
    ({ family, weight }, i) =>
      `<text x="${i * CELL + 2}" y="${CELL - 2}" font-size="${CELL - 2}" ` +
      `font-family="'${family}'" font-weight="${weight}">${i === 0 ? GLYPHS.noteheadBlack : 'C'}</text>`,
  ).join(''),
};

/** Milliseconds between two looks, and after which a font will not come any more. */
const LOOK = 20;
const MOST_WAIT = 3_000;

/**
 * Waits until the fonts inside a picture are in use: a browser calls it decoded before that, and
 * tells nobody when it is.
 */
async function fontsPainted(image: HTMLImageElement, below: number): Promise<void> {
  const { canvas, context } = canvasOf(FONTS.length * CELL, CELL);
  for (let waited = 0; waited < MOST_WAIT; waited += LOOK) {
    context.clearRect(0, 0, canvas.width, canvas.height);
    context.drawImage(image, 0, below, canvas.width, CELL, 0, 0, canvas.width, CELL);
    if (FONTS.every((_, i) => isInked(context.getImageData(i * CELL, 0, CELL, CELL).data))) return;
    await new Promise((resolve) => setTimeout(resolve, LOOK));
  }
  throw new Error('the fonts of the picture did not load');
}

function isInked(pixels: Uint8ClampedArray): boolean {
  for (let i = 0; i < pixels.length; i += 4) if (pixels[i]! < 128) return true;
  return false;
}
