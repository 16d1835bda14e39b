import type { Box } from '../ink/box';
import { distanceBetween } from '../ink/contour';
import { glyphBox, type Pen, SPACE } from '../ink/pen';
import type { ScoreItem, ScoreNote } from '../score/score';
import type { ItemPlace } from './places';

/** Ghost notes, and the unheard start of a pre-bend; what is tied on is not struck again. */
export function inParentheses(item: ScoreItem, { note }: ScoreNote): boolean {
  if (note.kind !== 'pitched' || item.written.tieStop) return false;
  const shape = note.bend?.shape;
  return note.ghost === true || shape === 'pre-bend' || shape === 'pre-bend-release';
}

/** Room between a parenthesis and what stands beside it. */
const HEAD_GAP = 1;
/** So much more to a stem: the tips of a parenthesis come nearer to it than its middle to a head. */
const STEM_ROOM = 1.4;
/** Heads nearer than this share one pair: those of single heads would run into each other. */
const TOGETHER = 1.2 * SPACE;

/** Heads that one pair of parentheses stands around. */
interface Enclosed extends Box {
  /** The middles of the highest and the lowest. */
  readonly top: number;
  readonly bottom: number;
}

/** Puts parentheses around heads: one pair around those of a chord that lie together. */
export function drawParentheses(pen: Pen, places: readonly ItemPlace[]): void {
  for (const p of places) {
    for (const e of enclosedIn(p)) {
      const there = pen.ink.some(
        (k) =>
          k.kind === 'parenthesis' && k.y0 < e.top && k.y1 > e.bottom && Math.abs(k.x0 - e.x1) < 4,
      );
      if (!there) drawPair(pen, e);
    }
  }
}

function enclosedIn({ item, heads }: ItemPlace): readonly Enclosed[] {
  const out: Enclosed[] = [];
  let open = false;
  // From the lowest upwards; a head without parentheses parts those around it.
  item.notes.forEach((n, i) => {
    if (!inParentheses(item, n)) {
      open = false;
      return;
    }
    const h = heads!.heads[i]!;
    const below = out.at(-1);
    if (open && below !== undefined && below.top - h.y < TOGETHER) {
      const [x0, x1] = [Math.min(below.x0, h.x0), Math.max(below.x1, h.x1)];
      out[out.length - 1] = { ...below, x0, x1, y0: h.y, top: h.y };
    } else out.push({ x0: h.x0, x1: h.x1, y0: h.y, y1: h.y, top: h.y, bottom: h.y });
    open = true;
  });
  return out;
}

function drawPair(pen: Pen, e: Enclosed): void {
  const solid = solidFor(pen);
  const beside = solid.filter((k) => k.x1 <= e.x1 + STEM_ROOM);
  const far = solid.filter((k) => k.x0 >= e.x0 - STEM_ROOM);
  const single = glyphBox('noteheadParenthesisLeft', 0, 0);
  const [y0, y1] = [e.top + single.y0, e.bottom + single.y1];
  const tall = e.bottom > e.top;
  const bulge = tall ? TALL_BULGE : single.x1 - single.x0;
  const xl = -distanceBetween([{ x0: 0, x1: bulge, y0, y1 }], beside, HEAD_GAP, -2);
  const xr = distanceBetween(far, [{ x0: 0, x1: bulge, y0, y1 }], HEAD_GAP, -2);
  pen.sign('parenthesis');
  if (tall) {
    pen.parenthesis(xl + bulge, y0, y1, -bulge, TALL_THICK);
    pen.parenthesis(xr, y0, y1, bulge, TALL_THICK);
    return;
  }
  const right = glyphBox('noteheadParenthesisRight', 0, 0);
  pen.glyph('noteheadParenthesisLeft', xl - single.x0, e.top);
  pen.glyph('noteheadParenthesisRight', xr - right.x0, e.top);
}

/** How far tall parentheses bulge, and how thick they are in the middle. */
const TALL_BULGE = 5;
const TALL_THICK = 1.3;

/** What parentheses keep clear of: all but ledger lines, which run through them; stems are widened. */
function solidFor(pen: Pen): readonly Box[] {
  return pen.taken.flatMap((k) => {
    const kind = 'kind' in k ? k.kind : 'stem';
    if (kind === 'ledger') return [];
    return kind === 'stem' ? [{ ...k, x0: k.x0 - STEM_ROOM, x1: k.x1 + STEM_ROOM }] : [k];
  });
}
