import { encode } from 'uqr';

/** Characters of a link that a code takes which a phone still reads off a screen. */
export const MOST_IN_CODE = 2_300;

/** Empty modules around a code, as its standard (ISO/IEC 18004) asks. */
const QUIET = 4;

/** A QR code as the path of its dark modules, each a square of 1 by 1, and the side of the whole. */
export function drawnCode(text: string): { readonly size: number; readonly path: string } {
  const { data, size } = encode(text, { ecc: 'L', border: QUIET });
  const rows = data.flatMap((row, y) => row.flatMap((on, x) => (on ? [`M${x} ${y}h1v1h-1z`] : [])));
  return { size, path: rows.join('') };
}
