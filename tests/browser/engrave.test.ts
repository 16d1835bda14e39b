import { beforeAll, describe, expect, it } from 'vitest';
import { engrave } from '../../src/engrave/engraver';
import music from '../../src/engrave/font/degreewise-music.woff2?url';
import text from '../../src/engrave/font/degreewise-text.woff2?url';
import bold from '../../src/engrave/font/degreewise-text-bold.woff2?url';
import { GLYPHS } from '../../src/engrave/font/glyphs';
import { type Face, measureText } from '../../src/engrave/font/measure';
import { GOLDEN_PAGES, readableSvg } from '../support/engraving-pages';

const KEPT = import.meta.glob<string>('../golden/engrave/*.svg.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

beforeAll(async () => {
  const faces = [
    new FontFace('Degreewise Music', `url(${music})`),
    new FontFace('Degreewise Text', `url(${text})`, { weight: '400' }),
    new FontFace('Degreewise Text', `url(${bold})`, { weight: '700' }),
  ];
  for (const f of faces) document.fonts.add(await f.load());
});

describe('engraving in the browser', () => {
  it.each(GOLDEN_PAGES)('writes the bytes that Node wrote: $name', ({ name, phrase, options }) => {
    expect(readableSvg(engrave(phrase, options).systems)).toBe(
      KEPT[`../golden/engrave/${name}.svg.txt`],
    );
  });

  it('sets texts as wide as the table says, with the fonts it ships', () => {
    const canvas = document.createElement('canvas').getContext('2d')!;
    const fonts: Readonly<Record<Exclude<Face, 'italic'>, string>> = {
      music: '400 40px "Degreewise Music"',
      text: '400 40px "Degreewise Text"',
      bold: '700 40px "Degreewise Text"',
    };
    const texts: readonly (readonly [Exclude<Face, 'italic'>, string])[] = [
      ...Object.values(GLYPHS).map((g) => ['music', g] as const),
      ['text', 'P.M. let ring 1½ ♭7→R AVATo fi'],
      ['text', '0123456789‹›()×𝄫𝄪♯'],
      ['text', 'Ça sonne très fort, große Übung'],
      ['bold', 'B♭maj7♯11/F♯ N.C. E°ø AVATo'],
    ];
    // Chromium gives ink boxes in whole pixels, rounded outwards.
    for (const [face, words] of texts) {
      canvas.font = fonts[face];
      const shown = canvas.measureText(words);
      const m = measureText(words, face, 40);
      expect(Math.abs(shown.width - m.advance), words).toBeLessThan(0.2);
      expect(Math.abs(shown.actualBoundingBoxRight - m.x1), words).toBeLessThan(1.6);
      expect(Math.abs(-shown.actualBoundingBoxAscent - m.y0), words).toBeLessThan(1.6);
    }
  });

  it('draws in the colour of the text around it', () => {
    const [page] = GOLDEN_PAGES;
    const host = document.createElement('div');
    host.style.color = 'rgb(10, 200, 30)';
    host.innerHTML = engrave(page!.phrase, page!.options).systems[0]!.svg;
    document.body.append(host);
    const note = host.querySelector('text')!;
    expect(getComputedStyle(note).fill).toBe('rgb(10, 200, 30)');
    const line = host.querySelector('.dw-line')!;
    expect(getComputedStyle(line).stroke).toBe('rgb(10, 200, 30)');
    host.remove();
  });
});
