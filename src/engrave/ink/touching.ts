import { type Box, overlaps } from './box';
import type { InkKind } from './kinds';
import type { Ink } from './pen';

/**
 * Which kinds of sign may touch, and why. Everything else has to be clear of everything else; a
 * sign's own pieces are never compared. `*` is any kind.
 */
export const MAY_TOUCH: readonly (readonly [InkKind, InkKind | '*', string])[] = [
  ['staff-line', '*', 'notes and signs are written on the lines'],
  ['ledger', '*', 'a ledger line is a piece of the staff'],
  ['tab-line', 'barline', 'strings run through the bar lines'],
  ['tab-line', 'clef', 'the letters stand on the strings'],
  ['tab-line', 'meter', 'the meter stands on the strings'],
  ['tab-line', 'bend', 'a bend rises over the strings'],
  ['tab-line', 'strum', 'a strum runs over the strings'],
  ['tab-line', 'slide', 'a slide leans over its string'],
  ['tab-line', 'slide-in', 'a slide leans over its string'],
  ['tab-line', 'slide-out', 'a slide leans over its string'],
  ['bend', 'tab-slur', 'the bend of one voice rises through a slur of the other'],
  ['bend', 'slide', 'the bend of one voice rises through a slide of the other'],
  ['barline', 'tie', 'ties cross bar lines'],
  ['barline', 'slur', 'slurs cross bar lines'],
  ['barline', 'slide', 'slides cross bar lines'],
  ['barline', 'tab-slur', 'slurs cross bar lines'],
  ['tie', 'stem', 'a tie may lead through the stem of the other voice'],
  ['meter', 'tie', 'ties lead past a change of meter'],
  ['meter', 'slur', 'slurs lead past a change of meter'],
  ['meter', 'slide', 'slides lead past a change of meter'],
  ['meter', 'tab-slur', 'slurs lead past a change of meter'],
];

/** Less than this counts as touching, not as running into each other; units. */
const SLACK = 0.25;

const TABLE = new Set<string>(
  MAY_TOUCH.flatMap(([a, b]) => [`${a} ${b}`, ...(b === '*' ? [] : [`${b} ${a}`])]),
);

/** Whether two kinds of ink may touch without being a fault of the engraving. */
export function mayTouch(a: InkKind, b: InkKind): boolean {
  return TABLE.has(`${a} ${b}`) || TABLE.has(`${a} *`) || TABLE.has(`${b} *`);
}

export interface Overlap {
  readonly a: Ink;
  readonly b: Ink;
}

function related(a: Ink, b: Ink): boolean {
  if (a.family === '' || b.family === '') return false;
  if (a.family === b.family) return true;
  const others = b.family.split('|');
  return a.family.split('|').some((f) => others.includes(f));
}

/** Every two pieces of ink that share room and may not. Sweep from left to right. */
export function findOverlaps(
  ink: readonly Ink[],
  slack = SLACK,
  allowed: (a: InkKind, b: InkKind) => boolean = mayTouch,
): readonly Overlap[] {
  const sorted = [...ink].sort((a, b) => a.x0 - b.x0);
  const found: Overlap[] = [];
  let open: Ink[] = [];
  for (const a of sorted) {
    open = open.filter((b) => b.x1 > a.x0 + slack);
    for (const b of open) {
      if (
        a.sign !== b.sign &&
        !related(a, b) &&
        overlaps(a, b, slack) &&
        !allowed(a.kind, b.kind)
      ) {
        found.push({ a, b });
      }
    }
    open.push(a);
  }
  return found;
}

/** Ink that leaves the page. */
export function findOutside(ink: readonly Ink[], page: Box): readonly Ink[] {
  return ink.filter(
    (k) =>
      k.x0 < page.x0 - SLACK ||
      k.x1 > page.x1 + SLACK ||
      k.y0 < page.y0 - SLACK ||
      k.y1 > page.y1 + SLACK,
  );
}
