import { GLYPHS } from '../../engrave/font/glyphs';
import type { Writer } from '../format';
import { FONTS } from '../svg/fonts';
import { type Foot, pictureOf } from '../svg/picture';

/** px; one square below the picture for each font. */
const SIDE = 16;

/** A letter or sign in each font: it is invisible until the font is there. */
const PROBE: Foot = {
  height: SIDE,
  svg: FONTS.map(
    ({ family, weight }, i) =>
      `<text x="${i * SIDE + 2}" y="${SIDE - 2}" font-size="${SIDE - 2}" ` +
      `font-family="'${family}'" font-weight="${weight}">${i === 0 ? GLYPHS.noteheadBlack : 'C'}</text>`,
  ).join(''),
};

/** @throws Error where nothing can paint; see `made` in the table of formats. */
export const write: Writer = async (phrase, look, tools) => {
  if (tools.paint === null) throw new Error('a picture is painted by a browser only');
  const picture = await pictureOf(phrase, look, tools, PROBE);
  return tools.paint({ ...picture, probe: { squares: FONTS.length, side: SIDE } });
};
