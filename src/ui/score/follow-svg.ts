import { likeOrReplaced, parseSvg, putSvg, sameNames, takeAttributes } from './put-svg';

/** What was put into an element, to compare the next text with. */
interface Put {
  readonly svg: Element;
  readonly text: string;
}

const PUT = new WeakMap<Element, Put>();

/**
 * As `putSvg`, for where a line changes with every key: texts are compared before anything is parsed,
 * since most of a line is the same to the letter after a key. What shows music first does not need it.
 * @param into Holds nothing but this drawing, which nobody else changes.
 * @throws RangeError when the text is no SVG.
 */
export function followSvg(into: Element, svg: string): void {
  const put = PUT.get(into);
  const now = into.firstElementChild;
  if (put === undefined || put.svg !== now || !follow(now, put.text, svg)) putSvg(into, svg);
  PUT.set(into, { svg: into.firstElementChild!, text: svg });
}

/**
 * Makes an element that was made of one text what another text says, by its children, and theirs.
 * @returns false where the texts are not laid out for that, and nothing was done.
 */
function follow(now: Element, before: string, after: string): boolean {
  if (before === after) return true;
  const from = tagAndChildren(before);
  const to = tagAndChildren(after);
  if (from === null || to === null || from.children.length !== now.childNodes.length) return false;
  if (from.tag !== to.tag) {
    const alone = inSvg(`${to.tag}</${now.localName}>`)[0];
    if (alone === undefined || alone.localName !== now.localName || !sameNames(now, alone)) {
      return false;
    }
    takeAttributes(now, alone);
  }
  followChildren(now, from.children, to.children);
  return true;
}

/** Only between the first and the last child that differ; groups by what is in them. */
function followChildren(now: Element, from: readonly string[], to: readonly string[]): void {
  const shorter = Math.min(from.length, to.length);
  let first = 0;
  while (first < shorter && from[first] === to[first]) first++;
  let same = 0;
  while (same < shorter - first && from.at(-1 - same) === to.at(-1 - same)) same++;
  const old = [...now.childNodes].slice(first, from.length - same);
  const texts = to.slice(first, to.length - same);
  if (old.length === texts.length && texts.length < FEW) {
    const left = old.flatMap((child, i) => {
      const done = child instanceof Element && follow(child, from[first + i]!, texts[i]!);
      return done ? [] : [i];
    });
    if (left.length > 0) {
      const made = inSvg(left.map((i) => texts[i]).join(''));
      for (const [at, i] of left.entries()) likeOrReplaced(old[i]!, made[at]!);
    }
    return;
  }
  const made = inSvg(texts.join(''));
  const behind = now.childNodes[from.length - same] ?? null;
  made.forEach((child, i) => {
    const there = old[i];
    if (there === undefined) now.insertBefore(child, behind);
    else if (!there.isEqualNode(child)) likeOrReplaced(there, child);
  });
  for (const left of old.slice(made.length)) left.remove();
}

/** So many are followed one by one: the rows of a line, and what a key changes in a row. */
const FEW = 12;

function inSvg(text: string): readonly Element[] {
  return [...(parseSvg(`<svg>${text}</svg>`).firstElementChild?.children ?? [])];
}

interface Cut {
  /** `<g transform="…">` */
  readonly tag: string;
  readonly children: readonly string[];
}

/**
 * The tag of an element and the texts of its children; null where it holds letters, or is one tag alone.
 * Our own engraver writes no `>` into a tag, no comments and no sections.
 */
function tagAndChildren(text: string): Cut | null {
  const end = text.indexOf('>');
  const last = text.lastIndexOf('</');
  if (end < 0 || last <= end || text.charCodeAt(end - 1) === SLASH) return null;
  const children: string[] = [];
  let start = end + 1;
  let depth = 0;
  for (let i = start; i < last; ) {
    const open = text.indexOf('<', i);
    if (depth === 0 && open !== i) return null;
    const close = text.indexOf('>', open);
    if (close < 0) return null;
    if (text.charCodeAt(open + 1) === SLASH) depth--;
    else if (text.charCodeAt(close - 1) !== SLASH) depth++;
    i = close + 1;
    if (depth < 0) return null;
    if (depth > 0) continue;
    children.push(text.slice(start, i));
    start = i;
  }
  return depth === 0 ? { tag: text.slice(0, end + 1), children } : null;
}

const SLASH = '/'.charCodeAt(0);
