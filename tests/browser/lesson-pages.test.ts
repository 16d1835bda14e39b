import { afterEach, expect, it } from 'vitest';
import { standardForm } from '../../src/core/form/standard';
import { itemHtml } from '../../src/publish/lesson/items';
import { MusicList } from '../../src/publish/lesson/music';
import { countPages } from '../../src/ui/lesson/page-count';
import { build } from '../support/build';
import { lessonOfEveryKind } from '../support/lesson';
import '../../src/ui/lesson/lesson.css';

afterEach(() => {
  document.body.innerHTML = '';
});

/** Letter between its margins, in mm. */
const HEIGHT = 279.4 - 30;
const A = { letter: 'A', alter: 0 } as const;
/** Twelve bars of eighths, some high and some low. */
const LONG = build(Array(12).fill('e 5/3 5/5 4/3 4/5 1/12 1/15 6/3 6/1').join(' | '), {
  chords: Array(12).fill('A7').join(' | '),
  key: 'A',
});
const mm = (share: number) => `${HEIGHT * share}mm`;

/** A sheet of paper with something on it. */
function sheetOf(html: string): HTMLElement {
  const page = document.createElement('article');
  page.className = 'page lesson-page letter';
  page.innerHTML = `<div class="lesson-paper large"><div class="lesson-view">${html}</div></div>`;
  document.body.append(page);
  return page;
}

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

it('twelve bars of a form and their heading fit into a quarter of a page, and so beneath a chorus', () => {
  const item = { kind: 'form', id: 'i1', form: standardForm('blues')!, tonic: A } as const;
  const form = itemHtml({ phrases: [] }, item, new MusicList({ phrases: [] }));
  const pages = (before: number) =>
    countPages(sheetOf(`<div style="height: ${mm(before)}"></div>${form}`), 'letter');
  expect(pages(0.75)).toBe(1);
  expect(pages(0.9)).toBe(2);
});

it('three shapes of a chord stand side by side, each over its name', () => {
  const all = lessonOfEveryKind([
    { ...LONG, id: 'a' },
    { ...LONG, id: 'b' },
  ]);
  const item = all.items.find((i) => i.kind === 'shapes')!;
  const page = sheetOf(itemHtml(all, item, new MusicList(all)));
  page.style.width = '687px';
  const rows = [...page.querySelectorAll('.shapes')].map((list) => [...list.children]);
  expect(rows.map((r) => r.length)).toEqual([3, 3]);
  for (const row of rows) {
    expect(new Set(row.map((li) => li.getBoundingClientRect().top)).size).toBe(1);
    for (const li of row) {
      const [drawn, name] = [...li.children].map((e) => e.getBoundingClientRect());
      expect(name!.top).toBeGreaterThanOrEqual(drawn!.bottom);
    }
  }
});

it('of lines of music, what is under one stands nearer to it than to the next', () => {
  const item = { kind: 'phrase', id: 'i1', phrase: LONG.id } as const;
  const carried = { phrases: [LONG] };
  const page = sheetOf(itemHtml(carried, item, new MusicList(carried, false)));
  const rules = [...document.styleSheets].flatMap((s) => [...s.cssRules]);
  const print = rules.filter((r) => r instanceof CSSMediaRule && r.conditionText === 'print');
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(
    print.flatMap((r) => [...(r as CSSMediaRule).cssRules].map((x) => x.cssText)).join('\n'),
  );
  document.adoptedStyleSheets = [sheet];
  try {
    const lines = [...page.querySelectorAll('.line')];
    expect(lines.length).toBeGreaterThan(2);
    const gaps = lines.slice(1).map((line, i) => {
      return line.getBoundingClientRect().top - lines[i]!.getBoundingClientRect().bottom;
    });
    // A line ends with its degrees, and the next begins with its chords: the height of a letter at least.
    for (const gap of gaps) expect(gap).toBeGreaterThanOrEqual(8);
  } finally {
    document.adoptedStyleSheets = [];
  }
});

it('a text in letters that run to the left begins at the right', () => {
  const item = { kind: 'text', id: 't', text: 'שלום, קצב' } as const;
  const page = sheetOf(itemHtml({ phrases: [] }, item, new MusicList({ phrases: [] })));
  page.querySelector('.lesson-view')!.classList.add('lesson-sheet');
  const p = page.querySelector('p')!;
  const range = document.createRange();
  range.selectNodeContents(p);
  const [letters, line] = [range.getBoundingClientRect(), p.getBoundingClientRect()];
  expect(line.right - letters.right).toBeLessThan(1);
  expect(letters.left - line.left).toBeGreaterThan(20);
});

it('pages of a lesson have numbers on both papers', () => {
  const rules = [...document.styleSheets].flatMap((s) => [...s.cssRules]);
  const sheets = rules.filter((r) => r instanceof CSSPageRule).map((r) => r.cssText);
  for (const paper of ['lesson-a4', 'lesson-letter']) {
    expect(sheets.find((text) => text.includes(`@page ${paper}`))).toContain('counter(page)');
  }
});
