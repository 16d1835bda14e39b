import type { LegendEntry } from '../../engrave/legend/legend';
import { escapeXml } from './escape';

/** px; columns of the legend, room for a sign, and size of its words. */
const COLUMNS = 2;
const SIGN_ROOM = 78;
const SIZE = 13;
const GAP = 8;

/** Where a legend stands; px. */
export interface LegendPlace {
  readonly left: number;
  readonly top: number;
  readonly width: number;
}

/** Signs with what they mean, row by row, each row as high as its highest sign; height in px. */
export function legendSvg(
  entries: readonly LegendEntry[],
  { left, top, width }: LegendPlace,
): { readonly svg: string; readonly height: number } {
  const column = width / COLUMNS;
  const parts: string[] = [];
  let y = top;
  for (let i = 0; i < entries.length; i += COLUMNS) {
    const row = entries.slice(i, i + COLUMNS);
    const height = Math.max(SIZE, ...row.map((e) => heightOf(e.svg)));
    row.forEach((e, k) => {
      const x = left + k * column;
      const at = y + (height - heightOf(e.svg)) / 2;
      parts.push(
        e.svg.replace('<svg ', `<svg x="${x.toFixed(2)}" y="${at.toFixed(2)}" `),
        `<text x="${(x + SIGN_ROOM).toFixed(2)}" y="${(y + height / 2 + SIZE / 3).toFixed(2)}" ` +
          `font-family="'Degreewise Text',serif" font-size="${SIZE}">${escapeXml(e.words)}</text>`,
      );
    });
    y += height + GAP;
  }
  return { svg: parts.join(''), height: y - top };
}

/** px, as a drawing of ours says it. */
function heightOf(svg: string): number {
  return Number(/ height="([\d.]+)"/u.exec(svg)?.[1] ?? 0);
}
