import { num } from '../ink/pen';

/*
 * The same picture in fewer pieces, for where many are shown and none is edited. Each moved group, each
 * line and each letter costs the browser a box to lay out and a piece to paint; one
 * stroke through many places, and one text with many places, cost as one.
 */

/** Tags as the pen writes them, each with the text behind it. */
const TAG = /<(\/?)(\w+)((?: [\w:-]+="[^"]*")*)(\/?)>([^<]*)/gu;
const MOVED = /^ transform="translate\((-?[\d.]+) (-?[\d.]+)\)"$/u;
const PATH = /^ d="([^"]*)"(.*)$/u;
const TEXT = /^ x="(-?[\d.]+)" y="(-?[\d.]+)"(.*)$/u;
const STEP = /([A-Za-z])([^A-Za-z]*)/gu;
const NUMBER = /-?[\d.]+/gu;

/** Letters that are one character to every browser, and that do nothing to their neighbours. */
const PLAIN = /^[!-~\ue000-\uf8ff♭♮♯]$/u;

/** One text of many: where each begins. */
interface Letters {
  readonly x: string[];
  readonly y: string[];
  text: string;
}

/**
 * @param svg As the engraver wrote it.
 * @returns the same picture: places without groups that move them, lines of one kind in one path, letters of one kind in
 *   one text. What is written in another way than the pen's is returned as it was.
 */
export function flat(svg: string): string {
  const at: { x: number; y: number }[] = [{ x: 0, y: 0 }];
  const strokes = new Map<string, string>();
  const letters = new Map<string, Letters>();
  const out: string[] = [];
  let head = '';
  for (const [, closes, name, attributes = '', , text = ''] of svg.matchAll(TAG)) {
    const here = at.at(-1);
    if (here === undefined) return svg;
    if (closes !== '') {
      if (name === 'g') at.pop();
    } else if (name === 'svg') {
      head = `<svg${attributes}>`;
    } else if (name === 'g') {
      const by = MOVED.exec(attributes);
      if (by === null) return svg;
      at.push({ x: here.x + Number(by[1]), y: here.y + Number(by[2]) });
    } else if (name === 'path') {
      const path = PATH.exec(attributes);
      if (path === null || path[1]!.includes('A')) return svg;
      const d = movedPath(path[1]!, here.x, here.y);
      const how = path[2]!;
      // Of filled shapes that overlap, one could make a hole in another.
      if (how.startsWith(' fill="none"')) strokes.set(how, (strokes.get(how) ?? '') + d);
      else out.push(`<path d="${d}"${how}/>`);
    } else if (name === 'text') {
      const place = TEXT.exec(attributes);
      if (place === null) return svg;
      const [x, y] = [num(Number(place[1]) + here.x), num(Number(place[2]) + here.y)];
      const how = place[3]!;
      if (PLAIN.test(text) && !how.includes('textLength')) {
        const all = letters.get(how) ?? { x: [], y: [], text: '' };
        all.x.push(x);
        all.y.push(y);
        all.text += text;
        letters.set(how, all);
      } else out.push(`<text x="${x}" y="${y}"${how}>${text}</text>`);
    } else return svg;
  }
  for (const [how, d] of strokes) out.push(`<path d="${d}"${how}/>`);
  for (const [how, all] of letters) {
    out.push(`<text x="${all.x.join(' ')}" y="${all.y.join(' ')}"${how}>${all.text}</text>`);
  }
  return head === '' ? svg : `${head}${out.join('')}</svg>`;
}

/** A path elsewhere. Steps in small letters are from where the last one ended. */
function movedPath(d: string, dx: number, dy: number): string {
  return d.replace(STEP, (all, step: string, numbers: string) => {
    if (step === step.toLowerCase() || step === 'Z') return all;
    const list = (numbers.match(NUMBER) ?? []).map(Number);
    if (step === 'H') return `H${list.map((x) => num(x + dx)).join(' ')}`;
    if (step === 'V') return `V${list.map((y) => num(y + dy)).join(' ')}`;
    // The pen draws arcs from where it is, in small letters; of all others each two numbers are a place.
    return step + list.map((n, i) => num(n + (i % 2 === 0 ? dx : dy))).join(' ');
  });
}
