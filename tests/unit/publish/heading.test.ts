import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { measureText } from '../../../src/engrave/font/measure';
import { headingSvg } from '../../../src/publish/svg/heading';

const PLACE = { left: 24, top: 24, width: 760 };

function read(title: string) {
  const { svg, height } = headingSvg(title, PLACE);
  const lines = [...svg.matchAll(/<text x="24" y="(\d+)"[^>]*>([^<]*)<\/text>/gu)];
  const texts = lines.map(([, , text]) =>
    text!
      .replaceAll('&lt;', '<')
      .replaceAll('&gt;', '>')
      .replaceAll('&quot;', '"')
      .replaceAll('&amp;', '&'),
  );
  return { texts, ys: lines.map(([, y]) => Number(y)), height };
}

describe('the title over a picture', () => {
  it('stays in one line where it fits, and breaks at spaces where it does not', () => {
    expect(read('Third Rung').texts).toEqual(['Third Rung']);
    expect(read('').height).toBe(0);
    const long = 'Solo over thirty-two bars with two chords a bar and a bridge of dominants in G';
    const { texts, ys, height } = read(long);
    expect(texts).toHaveLength(2);
    expect(texts.join(' ')).toBe(long);
    expect(height).toBe(ys[1]! - PLACE.top);
  });

  it('loses no letter and never goes beyond the picture', () => {
    const words = fc.array(fc.string({ unit: 'grapheme', maxLength: 120 }), { maxLength: 20 });
    fc.assert(
      fc.property(words, (list) => {
        const title = list.join(' ').trim();
        const { texts, ys } = read(title);
        const plain = (text: string) => text.replace(/\s+/gu, '');
        // Control characters are nothing that a drawing may hold.
        const printable = /^[^\p{C}]*$/u.test(title);
        if (printable) expect(plain(texts.join(''))).toBe(plain(title));
        for (const t of texts) {
          expect(measureText(t, 'text', 22).advance).toBeLessThanOrEqual(PLACE.width);
        }
        expect(ys.every((y, i) => i === 0 || y - ys[i - 1]! >= 22)).toBe(true);
      }),
    );
  });
});
