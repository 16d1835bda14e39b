import type { NeckLabel, NeckMark } from '../../core/neck/on-neck';
import type { Box } from '../ink/box';
import { num } from '../ink/pen';
import { type Canvas, textWidth } from './canvas';
import { outlinePath, signOf } from './signs';

/** Units; a unit is a px at the usual size. */
export const TAG_HEIGHT = 20;
const TAG_SIZE = 12.5;
const ORDER_SIZE = 9;
/** Between the tags of one place. */
const GAP = 1.5;
/** Base line of the order over the middle of a tag. */
const ORDER_LIFT = TAG_HEIGHT / 2 + 3;

/** More different things, or more moments, are only counted. */
const MOST_LABELS = 3;
const MOST_NUMBERS = 4;

/** What is written at a place: at most three tags, a count for what is more. */
function labelsShown(m: NeckMark): readonly NeckLabel[] {
  if (m.labels.length <= MOST_LABELS) return m.labels;
  const rest = m.labels.length - (MOST_LABELS - 1);
  return [...m.labels.slice(0, MOST_LABELS - 1), { text: `+${rest}`, degree: null }];
}

/** `1 4 7`, or `1 4 7 +5`. */
export function orderText({ order }: NeckMark): string {
  if (order.length <= MOST_NUMBERS) return order.join(' ');
  return `${order.slice(0, MOST_NUMBERS - 1).join(' ')} +${order.length - MOST_NUMBERS + 1}`;
}

function tagWidth(l: NeckLabel): number {
  const { ends } = signOf(l.degree);
  return Math.max(22, textWidth(l.text, 'bold', TAG_SIZE) + ends[0] + ends[1]);
}

/** Width of the tags of a place. */
export function tagsWidth(m: NeckMark): number {
  const tags = labelsShown(m).map(tagWidth);
  return tags.reduce((sum, w) => sum + w, 0) + GAP * (tags.length - 1);
}

/** Width of all that stands at a place, the order over the tags too. */
export function markWidth(m: NeckMark): number {
  return Math.max(
    tagsWidth(m),
    m.order.length === 0 ? 0 : textWidth(orderText(m), 'text', ORDER_SIZE),
  );
}

/**
 * Draws the tags of a place around its middle, the order over them.
 * @param ghost In outline: where something was before.
 * @returns the box of the tags.
 */
export function drawMark(c: Canvas, m: NeckMark, x: number, y: number, ghost = false): Box {
  const shown = labelsShown(m);
  const widths = shown.map(tagWidth);
  const whole = widths.reduce((sum, w) => sum + w, 0) + GAP * (widths.length - 1);
  let left = x - whole / 2;
  shown.forEach((l, i) => {
    drawTag(c, l, left, left + widths[i]!, y, ghost);
    left += widths[i]! + GAP;
  });
  const box = {
    x0: x - whole / 2,
    x1: x + whole / 2,
    y0: y - TAG_HEIGHT / 2,
    y1: y + TAG_HEIGHT / 2,
  };
  c.keep({ kind: ghost ? 'ghost' : 'tag', text: shown.map((l) => l.text).join(' '), ...box });
  if (m.order.length > 0 && !ghost) {
    c.text('order', orderText(m), x, y - ORDER_LIFT, {
      size: ORDER_SIZE,
      className: 'dw-neck-order',
      rim: true,
    });
  }
  return box;
}

function drawTag(c: Canvas, l: NeckLabel, x0: number, x1: number, y: number, ghost: boolean): void {
  const sign = signOf(l.degree);
  const d = outlinePath(sign.outline, x0, x1, y, TAG_HEIGHT);
  const [left, right] = sign.ends;
  const middle = (x0 + left + x1 - right) / 2;
  const plain = ghost || sign.fill === 'none';
  // Tags without colour are filled with paper, so that strings and lines do not run through the text.
  const paper = plain ? ' class="dw-neck-paper" fill="#fff"' : '';
  const fill = plain ? paper : ` fill="${sign.fill ?? 'currentColor'}"`;
  const dash = ghost ? ' stroke-dasharray="3 2"' : '';
  c.raw(`<path d="${d}"${fill} stroke="currentColor" stroke-width="${num(1.2)}"${dash}/>`);
  const ink = plain ? 'currentColor' : sign.text;
  c.text(ghost ? 'ghost' : 'tag', l.text, middle, y + TAG_SIZE * 0.34, {
    face: 'bold',
    size: TAG_SIZE,
    fill: ink,
    ...(sign.fill === null && !plain ? { className: 'dw-neck-on-ink' } : {}),
  });
}
