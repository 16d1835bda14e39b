import type { Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import { createEngraver } from '../../engrave/engraver';
import { engraveJoined } from '../../engrave/joined';
import { legendOf } from '../../engrave/legend/legend';
import { degreeLabels } from '../degree-labels';
import type { Look, Tools } from '../format';
import { fontRules } from './fonts';
import { headingSvg } from './heading';
import { legendSvg } from './legend';

/** px; about the width of printed music between its margins. */
const WIDTH = 760;
const MARGIN = 24;
const SYSTEM_GAP = 14;

/** A drawing with its size in px. */
export interface Picture {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
}

/** What stands below a picture, outside of its height. */
export interface Foot {
  readonly svg: string;
  readonly height: number;
}

const NO_FOOT: Foot = { svg: '', height: 0 };

/** A picture of the whole phrase under its title: black on white, with its fonts inside. */
export async function pictureOf(
  phrase: Phrase,
  look: Look,
  tools: Tools,
  foot = NO_FOOT,
): Promise<Picture> {
  const rules = await fontRules(tools);
  const labels = degreeLabels(analyse(phrase), look.degrees);
  const options = {
    width: WIDTH,
    staves: look.staves,
    ...(labels === null ? {} : { degrees: labels }),
  };
  const part = look.beneath?.(phrase) ?? null;
  const beneath = { width: WIDTH, staves: look.staves };
  const systems =
    part === null
      ? createEngraver().engrave(phrase, options).systems
      : engraveJoined({ phrase, options }, { phrase: part, options: beneath, name: 'Comping' });
  const title = phrase.meta.title.trim();
  const heading = headingSvg(title, { left: MARGIN, top: MARGIN, width: WIDTH });
  let y = MARGIN + (title === '' ? 0 : heading.height + SYSTEM_GAP);
  const placed = systems.map((s) => {
    const at = y;
    y += s.height + SYSTEM_GAP;
    // Each line is a whole <svg>; inside another one it takes a place.
    return s.svg.replace('<svg ', `<svg x="${MARGIN}" y="${at.toFixed(2)}" `);
  });
  const signs = look.legend ? legendOf(phrase, options) : [];
  const place = { left: MARGIN, top: y + SYSTEM_GAP, width: WIDTH };
  const legend = signs.length === 0 ? NO_FOOT : legendSvg(signs, place);
  if (signs.length > 0) y += legend.height + SYSTEM_GAP;
  const width = WIDTH + 2 * MARGIN;
  const height = Math.ceil(y - SYSTEM_GAP + MARGIN);
  const whole = height + foot.height;
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${whole}" ` +
    `viewBox="0 0 ${width} ${whole}" color="#000" fill="#000"><style>${rules}</style>` +
    `<rect width="${width}" height="${whole}" fill="#fff"/>${heading.svg}${placed.join('')}` +
    `${legend.svg}` +
    `${foot.svg === '' ? '' : `<g transform="translate(0 ${height})">${foot.svg}</g>`}</svg>\n`;
  return { svg, width, height };
}
