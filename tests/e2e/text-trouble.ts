/**
 * What larger text, wider letters or a narrow window do to a page, found in it (WCAG 2.2: 1.4.4 text at 200 %, 1.4.10
 * reflow at 320 px, 1.4.12 text spacing). Each gives a list of complaints, in words. As text, since what transpiles this
 * file puts helpers into functions that the page does not have.
 */

/** Text spacing as 1.4.12 sets it, on all but the music. */
export const SPACED = `
  *:not(svg *) { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }
  p { margin-bottom: 2em !important; }`;

/** The browser's text at 200 %. */
export const TWICE = 'html { font-size: 200% !important; }';

/** Puts a style over those of the page, in place of the last one; a tag would be refused by the page's own policy. */
export const styledBy = (text: string) => `(() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(${JSON.stringify(text)});
  document.adoptedStyleSheets = [sheet];
})()`;

const NAMED = `
  const shown = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true, contentVisibilityAuto: true }) && e.closest('.unseen, svg, [aria-hidden="true"], option') === null;
  const unseen = (e) => { for (let at = e; at !== null; at = at.parentElement) { const { width, height } = at.getBoundingClientRect(); if (width <= 1.5 && height <= 1.5 && getComputedStyle(at).overflowX !== 'visible') return true; } return false; };
  const named = (e) => e.localName + (e.id ? '#' + e.id : '') + (e.type ? '[' + e.type + ']' : '') + (e.className && e.className.baseVal === undefined ? '.' + String(e.className).trim().replaceAll(/\\s+/g, '.') : '') + ' "' + (e.getAttribute('aria-label') ?? e.textContent ?? '').trim().slice(0, 40) + '"';
  const scrolls = (e) => { for (let at = e; at !== null; at = at.parentElement) if (/auto|scroll/.test(getComputedStyle(at).overflowX) && at.scrollWidth > at.clientWidth + 1 && at !== document.documentElement && at !== document.body) return true; return false; };
  const texts = () => { const all = []; const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let n = walk.nextNode(); n !== null; n = walk.nextNode()) { const e = n.parentElement; if (n.data.trim() === '' || e === null || /script|style|title|template/i.test(e.localName) || !shown(e) || unseen(e)) continue;
      const range = document.createRange(); range.selectNodeContents(n); for (const box of range.getClientRects()) if (box.width > 1 && box.height > 1) all.push({ e, box }); }
    return all; };`;

/** What is wider than the window, out of it, or cut by a box that does not scroll. */
export const CUT = `(() => {${NAMED}
  const found = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth + 1) found.push('the page is wider than the window by ' + (root.scrollWidth - root.clientWidth) + ' px');
  for (const { e, box } of texts()) {
    if ((box.right > root.clientWidth + 1 || box.left < -1) && !scrolls(e)) found.push('out of the window: ' + named(e));
    for (let at = e; at !== null && at !== document.body; at = at.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(at); const of = at.getBoundingClientRect();
      if (/auto|scroll/.test(overflowX + overflowY)) break;
      const x = /hidden|clip/.test(overflowX) && (box.right > of.right + 2 || box.left < of.left - 2);
      const y = /hidden|clip/.test(overflowY) && (box.bottom > of.bottom + 4 || box.top < of.top - 4);
      if (x || y) found.push('cut: ' + named(e) + ' by ' + named(at));
    }
  }
  for (const e of document.querySelectorAll('button, .button, select, input[type="text"], summary')) {
    if (!shown(e)) continue;
    if (e.localName !== 'input' && e.localName !== 'select' && (e.scrollWidth > e.clientWidth + 2 && getComputedStyle(e).display !== 'inline')) found.push('wider than its edge: ' + named(e));
  }
  return [...new Set(found)];
})()`;

/** Words that lie over other words. */
export const OVER = `(() => {${NAMED}
  const stuck = (e) => { for (let at = e; at !== null; at = at.parentElement) { const p = getComputedStyle(at).position; if (p === 'sticky' || p === 'fixed' || at.localName === 'dialog') return at; } return null; };
  const all = texts().map((t) => ({ ...t, stuck: stuck(t.e) })).sort((a, b) => a.box.top - b.box.top);
  const found = [];
  all.forEach((a, i) => { for (let j = i + 1; j < all.length && all[j].box.top < a.box.bottom; j++) { const b = all[j];
    if (a.e === b.e || a.stuck !== b.stuck || a.e.contains(b.e) || b.e.contains(a.e)) continue;
    const x = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
    const y = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
    if (x > 3 && y > Math.min(a.box.height, b.box.height) * 0.4) found.push('over one another: ' + named(a.e) + ' and ' + named(b.e)); } });
  return [...new Set(found)];
})()`;

/**
 * What a finger misses (2.5.8): under 24 px, with 44 as the wish. A link in the run of a text is excepted there,
 * as is what a label or a card around it takes up.
 * @param least Pixels in either direction.
 */
export const smallFor = (least: number) => `(() => {${NAMED}
  const inText = (e) => e.localName === 'a' && getComputedStyle(e).display === 'inline' && [...(e.closest('p, li, dd, td, figcaption')?.childNodes ?? [])].some((n) => n.nodeType === 3 && n.data.trim().length > 2);
  return [...document.querySelectorAll('button, select, summary, input, textarea, a[href], [role="option"], [role="radio"]')].flatMap((e) => {
    if (!shown(e) || inText(e)) return [];
    const { width, height } = (e.closest('label, .card h2, [data-target]') ?? e).getBoundingClientRect();
    return width > 1 && height > 1 && (width < ${least} - 0.5 || height < ${least} - 0.5) ? [named(e) + ' ' + Math.round(width) + ' x ' + Math.round(height)] : [];
  });
})()`;
