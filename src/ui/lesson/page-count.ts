import type { Paper } from '../shared/paper';

/** What is left of a sheet between the margins (`@page` in lesson.css), in px of 1/96 inch. */
const SHEETS: Readonly<Record<Paper, { readonly width: number; readonly height: number }>> = {
  a4: { width: px(210 - 28), height: px(297 - 30) },
  letter: { width: px(215.9 - 28), height: px(279.4 - 30) },
};

/** @param mm Millimetres. */
function px(mm: number): number {
  return (mm * 96) / 25.4;
}

/**
 * How many pages something makes when it is printed. The browser is not to be asked, but it breaks columns by the rules
 * by which it breaks pages: a copy is laid out, unseen, under the rules for print, in columns as large as the paper.
 * @param page What is printed, with the element that names the paper.
 */
export function countPages(page: HTMLElement, paper: Paper): number {
  const { width, height } = SHEETS[paper];
  const host = document.createElement('div');
  host.setAttribute('aria-hidden', 'true');
  host.inert = true;
  Object.assign(host.style, { position: 'fixed', left: '0', top: '0', visibility: 'hidden' });
  Object.assign(host.style, { width: '0', height: '0', overflow: 'hidden', contain: 'strict' });
  // Rules of print hold in a tree of its own, and nowhere else.
  const root = host.attachShadow({ mode: 'open' });
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(printRules(document.styleSheets));
  root.adoptedStyleSheets = [sheet];
  const columns = document.createElement('div');
  Object.assign(columns.style, { columnWidth: `${width}px`, columnGap: '0', columnFill: 'auto' });
  Object.assign(columns.style, { width: `${width}px`, height: `${height}px` });
  const copy = page.cloneNode(true) as HTMLElement;
  copy.style.maxWidth = 'none';
  copy.style.margin = '0';
  copy.style.padding = '0';
  columns.append(copy);
  root.append(columns);
  document.body.append(host);
  const pages = Math.max(1, Math.round(columns.scrollWidth / width));
  host.remove();
  return pages;
}

/** The rules that hold on paper, without the conditions that say so. */
function printRules(sheets: Iterable<CSSStyleSheet>): string {
  const texts: string[] = [];
  const take = (rules: Iterable<CSSRule>): void => {
    for (const rule of rules) {
      if (!(rule instanceof CSSMediaRule)) texts.push(rule.cssText);
      else if (rule.conditionText === 'print') take(rule.cssRules);
      else if (!/screen|width|prefers/u.test(rule.conditionText)) texts.push(rule.cssText);
    }
  };
  for (const sheet of sheets) {
    try {
      take(sheet.cssRules);
    } catch {
      // A sheet from elsewhere, such as one of an extension, may not be read; it is none of ours.
    }
  }
  return texts.join('\n');
}
