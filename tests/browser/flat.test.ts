import { describe, expect, it } from 'vitest';
import { engrave } from '../../src/engrave/engraver';
import { flat } from '../../src/engrave/page/flat';
import { pageOf } from '../support/engraving';

/** A letter or a stretch of ink: what it is, and numbers that say where the browser puts it, in px of the drawing. */
interface Piece {
  readonly what: string;
  readonly at: readonly number[];
}

function drawn(place: Element, svg: string): Piece[] {
  place.innerHTML = svg;
  const root = place.querySelector('svg')!;
  const at = (e: SVGGraphicsElement, { x, y }: { x: number; y: number }) => {
    const p = new DOMPoint(x, y).matrixTransform(e.getCTM()!);
    return [p.x, p.y];
  };
  const how = (e: Element) =>
    ['class', 'font-size', 'font-weight', 'font-style', 'fill', 'stroke-width', 'stroke-dasharray']
      .map((name) => e.getAttribute(name) ?? '-')
      .join(' ');
  const letters = [...root.querySelectorAll('text')].flatMap((e) =>
    Array.from({ length: e.getNumberOfChars() }, (_, i) => ({
      what: `${e.textContent[i]} ${how(e)}`,
      at: at(e, e.getStartPositionOfChar(i)),
    })),
  );
  const ink = [...root.querySelectorAll('path')].flatMap((e) =>
    pieces(e.getAttribute('d')!).map((d) => {
      const alone = e.cloneNode() as SVGPathElement;
      alone.setAttribute('d', d);
      e.after(alone);
      const end = alone.getTotalLength();
      const places = [0, 0.3, 0.7, 1].flatMap((part) =>
        at(alone, alone.getPointAtLength(end * part)),
      );
      alone.remove();
      return { what: how(e), at: places };
    }),
  );
  return [...letters, ...ink];
}

/** What of the first has no piece of the second within a tenth of a px: places are rounded once more. */
function without(all: readonly Piece[], others: readonly Piece[]): Piece[] {
  const left = [...others];
  return all.filter(({ what, at }) => {
    const i = left.findIndex(
      (o) => o.what === what && o.at.every((n, k) => Math.abs(n - at[k]!) < 0.1),
    );
    if (i >= 0) left.splice(i, 1);
    return i < 0;
  });
}

/** Each stretch of a path that begins anew. */
function pieces(d: string): string[] {
  return d.split(/(?=M)/u);
}

describe('a drawing in fewer pieces', () => {
  it('has every letter and every stroke where the engraver put it, by the browser', () => {
    const place = document.createElement('div');
    document.body.append(place);
    let [before, after] = [0, 0];
    for (let seed = 0; seed < 6; seed++) {
      const { phrase, options } = pageOf(seed);
      for (const { svg } of engrave(phrase, options).systems.slice(0, 2)) {
        const fewer = flat(svg);
        expect(fewer).not.toBe(svg);
        const whole = drawn(place, svg);
        before += place.querySelectorAll('svg *').length;
        const again = drawn(place, fewer);
        expect(without(whole, again)).toEqual([]);
        expect(again.length).toBe(whole.length);
        after += place.querySelectorAll('svg *').length;
      }
    }
    expect(after).toBeLessThan(before / 2);
    place.remove();
  });

  it('leaves alone what the pen did not write', () => {
    for (const inside of [
      '<rect width="1"/>',
      '<g transform="scale(2)"></g>',
      '<path d="M0 0A1 1 0 0 1 2 2"/>',
    ]) {
      const svg = `<svg viewBox="0 0 9 9">${inside}</svg>`;
      expect(flat(svg)).toBe(svg);
    }
  });
});
