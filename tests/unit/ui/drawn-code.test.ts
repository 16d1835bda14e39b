import decodeQR from 'qr/decode.js';
import { describe, expect, it } from 'vitest';
import { decodeLink, encodeLink } from '../../../src/io/link/phrase-link';
import { drawnCode, MOST_IN_CODE } from '../../../src/ui/frame/give/drawn-code';
import { readSamples } from '../../support/samples';

/* Read back by the package `qr`, which has nothing in common with the one that makes the codes. */

const ADDRESS = 'https://music.example/degreewise/#/given/';
/** Pixels to a module, as of a small code on a screen. */
const SIDE = 3;

/** The path as a screen shows it: dark squares on white. */
function pictureOf({ size, path }: ReturnType<typeof drawnCode>) {
  const side = size * SIDE;
  const data = new Uint8Array(side * side * 4).fill(255);
  const squares = [...path.matchAll(/M(\d+) (\d+)h1v1h-1z/gu)];
  expect(squares.map((s) => s[0]).join('')).toBe(path);
  for (const [, x, y] of squares) {
    for (let dy = 0; dy < SIDE; dy++) {
      const from = ((Number(y) * SIDE + dy) * side + Number(x) * SIDE) * 4;
      for (let i = 0; i < SIDE; i++) data.fill(0, from + 4 * i, from + 4 * i + 3);
    }
  }
  return { width: side, height: side, data };
}

const readBack = (text: string) => decodeQR(pictureOf(drawnCode(text)));

describe('the code of a phrase', () => {
  it('is read by another program as the link, up to the longest that is shown', () => {
    const long = readSamples()
      .map((s) => encodeLink(s.phrase))
      .join('');
    for (const length of [60, 1200, MOST_IN_CODE]) {
      const link = (ADDRESS + long).slice(0, length);
      expect(link).toHaveLength(length);
      expect(readBack(link)).toBe(link);
    }
  });

  it('gives every note of a phrase back', () => {
    const samples = readSamples();
    for (const { phrase } of [samples[18]!, samples.at(-1)!]) {
      const read = readBack(ADDRESS + encodeLink(phrase));
      expect(decodeLink(read.slice(ADDRESS.length))).toEqual({ ok: true, value: phrase });
    }
  });

  it('that lost a piece is not read as another', () => {
    const picture = pictureOf(drawnCode(ADDRESS + encodeLink(readSamples()[0]!.phrase)));
    picture.data.fill(255, picture.data.length / 2, (picture.data.length * 3) / 4);
    expect(() => decodeQR(picture)).toThrow();
  });
});
