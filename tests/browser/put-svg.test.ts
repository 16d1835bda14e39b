import { describe, expect, it } from 'vitest';
import { engrave } from '../../src/engrave/engraver';
import { followSvg } from '../../src/ui/score/follow-svg';
import { putSvg } from '../../src/ui/score/put-svg';
import { pageOf } from '../support/engraving';

/** The browser's own reader of XML, which knows nothing of what was there before. */
function readAlone(svg: string): Element {
  return new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
}

describe.each([
  ['by what is there', putSvg],
  ['by the text before', followSvg],
])('putting a drawing in the place of another, %s', (_, putSvg) => {
  it('leaves exactly the new one, whatever stood there', () => {
    const lines = Array.from({ length: 8 }, (_, seed) => pageOf(seed)).flatMap(
      ({ phrase, options }) => engrave(phrase, options).systems.map((s) => s.svg),
    );
    expect(lines.length).toBeGreaterThan(8);
    const place = document.createElement('div');
    for (const before of lines) {
      for (const after of lines) {
        place.replaceChildren();
        putSvg(place, before);
        putSvg(place, after);
        expect(place.childNodes.length).toBe(1);
        // Not `toBe(true)` of the node itself: a failure would print whole drawings.
        expect(place.firstElementChild!.isEqualNode(readAlone(after))).toBe(true);
      }
    }
  });

  it('keeps what is the same, so that nothing of it is laid out again', () => {
    const draw = (fret: string, other = 'a') =>
      `<svg xmlns="http://www.w3.org/2000/svg"><g><text x="1">${fret}</text></g><g id="${other}"><path d="M0 0"/></g></svg>`;
    const place = document.createElement('div');
    putSvg(place, draw('5'));
    const [first, second] = place.querySelectorAll('g');
    const text = first!.querySelector('text');
    putSvg(place, draw('7'));
    expect([...place.querySelectorAll('g')]).toEqual([first, second]);
    expect(place.querySelector('text')).toBe(text);
    expect(text!.textContent).toBe('7');
    putSvg(place, draw('7', 'b'));
    expect(second!.id).toBe('b');
  });

  it('runs nothing, and takes nothing but a drawing', () => {
    const place = document.createElement('div');
    document.body.append(place);
    putSvg(
      place,
      '<svg xmlns="http://www.w3.org/2000/svg"><script>window.ran = true</script><text>&lt;b&gt;</text></svg>',
    );
    expect('ran' in window).toBe(false);
    expect(place.querySelector('text')!.textContent).toBe('<b>');
    place.remove();
    expect(() => putSvg(place, '<p>no</p>')).toThrow(RangeError);
    expect(() => putSvg(place, '')).toThrow(RangeError);
  });
});
