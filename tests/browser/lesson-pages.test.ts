import { afterEach, expect, it } from 'vitest';
import { countPages } from '../../src/ui/lesson/page-count';
import '../../src/ui/lesson/lesson.css';

afterEach(() => {
  document.body.innerHTML = '';
});

/** Letter between its margins, in mm. */
const HEIGHT = 279.4 - 30;
const mm = (share: number) => `${HEIGHT * share}mm`;

/** A lesson of what fills so much of a page, notes of so many lines of 2 % each, and a line of so much. */
function pagesOf(before: number, lines: number, line: number): number {
  const page = document.createElement('article');
  page.className = 'page lesson-page letter';
  const text = Array.from({ length: lines }, (_, i) => `line ${i}`).join('<br>');
  page.innerHTML = `<div class="lesson-view"><section class="item">
    <div style="height: ${mm(before)}"></div><p class="facts" style="margin: 0">A blues</p>
    <p style="margin: 0; line-height: ${mm(0.02)}">${text}</p>
    <div class="music"><div class="line" style="height: ${mm(line)}"></div></div></section></div>`;
  document.body.append(page);
  return countPages(page, 'letter');
}

it('long notes begin on the page where there is room, and end over the music', () => {
  // Half a page, nine tenths of one, half a page.
  expect(pagesOf(0.5, 45, 0.5)).toBe(2);
  // Where the music goes on to the next page, two lines of the notes go with it: all but two would fit with them.
  expect(pagesOf(0.5, 22, 0.97)).toBe(3);
  expect(pagesOf(0.5, 22, 0.94)).toBe(2);
});
