import type { Phrase } from '../../core/phrase/types';
import { unionOf } from '../ink/box';
import { type Fragment, num } from '../ink/pen';
import { type EngraveOptions, settingsOf, showsStaff, showsTab } from '../options';
import { FONT_FAMILY } from '../page/system';
import { CHANGED, ENTRIES, type Entry } from './entries';

/** One line of the legend: a sign as it is printed, and what it means. */
export interface LegendEntry {
  /** Stable name of the sign. */
  readonly sign: string;
  readonly words: string;
  /** A small `<svg>` in `currentColor`, as high as its sign. */
  readonly svg: string;
}

/** What the signs printed for a phrase mean, each once, in a fixed order. */
export function legendOf(p: Phrase, o: EngraveOptions): readonly LegendEntry[] {
  const s = settingsOf(o);
  if (s.staves === 'degrees') return [];
  const entries: Omit<Entry, 'used'>[] = ENTRIES.filter((e) => {
    if (e.only === 'tab' && !showsTab(s)) return false;
    if (e.only === 'staff' && !showsStaff(s)) return false;
    return e.used(p);
  });
  if (s.changed.size > 0) entries.push(CHANGED);
  return entries.map((e) => ({ sign: e.sign, words: e.words, svg: sampleOf(e, s.size) }));
}

const memo = new Map<string, string>();

function sampleOf(e: Omit<Entry, 'used'>, size: number): string {
  const key = `${e.sign} ${size}`;
  const known = memo.get(key);
  if (known !== undefined) return known;
  const svg = wrap(e.draw(), size / 10);
  if (memo.size > 500) memo.clear();
  memo.set(key, svg);
  return svg;
}

function wrap(f: Fragment, scale: number): string {
  const box = unionOf(f.ink)!;
  const x = box.x0 - 1;
  const y = box.y0 - 1;
  const width = box.x1 - x + 1;
  const height = box.y1 - y + 1;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" class="dw-sign" width="${num(width * scale)}" height="${num(height * scale)}"` +
    ` viewBox="${num(x)} ${num(y)} ${num(width)} ${num(height)}" fill="currentColor" font-family="${FONT_FAMILY}">${f.svg}</svg>`
  );
}
