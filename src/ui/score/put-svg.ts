/**
 * Puts the engraver's SVG text into the page, and touches only what differs from what is there, so
 * that the browser styles and lays out one changed fret and not a whole line again. The text is
 * parsed where nothing is ever run, and all that files brought stands in it escaped.
 * @param into Holds nothing but this drawing.
 * @throws RangeError when the text is no SVG.
 */
export function putSvg(into: Element, svg: string): void {
  const next = parseSvg(svg).firstElementChild;
  if (next === null || next.localName !== 'svg') throw new RangeError('the engraver wrote no SVG');
  const now = into.firstElementChild;
  if (now === null) into.replaceChildren(next);
  else makeLike(now, next);
}

export function parseSvg(text: string): DocumentFragment {
  const shell = document.createElement('template');
  shell.innerHTML = text;
  return shell.content;
}

export function likeOrReplaced(there: ChildNode, child: ChildNode): void {
  if (there instanceof Element && child instanceof Element) makeLike(there, child);
  else there.replaceWith(child);
}

/** Makes an element equal to another one, of which it may take the children. */
function makeLike(now: Element, next: Element): void {
  if (now.localName !== next.localName || !sameNames(now, next)) {
    now.replaceWith(next);
    return;
  }
  takeAttributes(now, next);
  const old = [...now.childNodes];
  const wanted = [...next.childNodes];
  wanted.forEach((child, i) => {
    const there = old[i];
    if (there === undefined) now.append(child);
    else if (!there.isEqualNode(child)) likeOrReplaced(there, child);
  });
  for (const left of old.slice(wanted.length)) left.remove();
}

export function takeAttributes(now: Element, next: Element): void {
  for (const { name, value } of next.attributes) {
    if (now.getAttribute(name) !== value) now.setAttribute(name, value);
  }
}

/** Whether two elements carry attributes of the same names. */
export function sameNames(a: Element, b: Element): boolean {
  return (
    a.attributes.length === b.attributes.length &&
    [...b.attributes].every(({ name }) => a.hasAttribute(name))
  );
}
