import { type MouseEvent, type PointerEvent, useEffect, useRef, useState } from 'react';
import { movePoint } from '../../../core/edit/commands/bend-curve';
import { sameData } from '../../../core/edit/same';
import type { BendDraft, Drawn } from './bend-shape-draft';
import {
  type BendPlan,
  curveY,
  type Hold,
  heightY,
  holdAt,
  pointAt,
  type Spot,
  semitonesAt,
  spotOf,
  widthsOf,
} from './bend-shape-plan';
import { TOUCH } from './neck-geometry';

/** Nearer than this is a tap, in px. */
const TAP = 4;

interface Pressed {
  readonly pointer: number;
  readonly from: Spot;
  /** Null where the curve itself is pressed, between its points. */
  readonly hold: Hold | null;
  /** From what is held to the pointer, so that nothing jumps. */
  readonly off: Spot;
  readonly start: Drawn;
  /** What it has become; null until it is dragged. */
  readonly last: Drawn | null;
}

interface Pointing {
  readonly plan: BendPlan;
  readonly draft: BendDraft;
  readonly onHold: (hold: Hold) => void;
  /** The curve was tapped between its points. */
  readonly onTapLine: (spot: Spot) => void;
}

/**
 * Drawing with a mouse or a finger: a point or the target's line is dragged, which shows the bend as
 * it would be, and written once it is let go. Escape gives it back as it was.
 */
export function useBendPointer({ plan, draft, onHold, onTapLine }: Pointing) {
  const [held, setHeld] = useState<Hold | null>(null);
  const pressed = useRef<Pressed | null>(null);
  const giveUp = () => {
    if (pressed.current === null) return;
    pressed.current = null;
    setHeld(null);
    draft.drop();
  };
  const latest = useRef(giveUp);
  useEffect(() => {
    latest.current = giveUp;
  });
  const dragging = held !== null;
  useEffect(() => {
    if (!dragging) return;
    const onKey = (e: KeyboardEvent) => {
      if (e.key !== 'Escape') return;
      e.preventDefault();
      e.stopPropagation();
      latest.current();
    };
    document.addEventListener('keydown', onKey, true);
    return () => document.removeEventListener('keydown', onKey, true);
  }, [dragging]);
  const handlers = {
    // The focus goes where the pointer takes hold, not to what lies on top.
    onMouseDown: (e: MouseEvent) => e.preventDefault(),
    onPointerDown: (e: PointerEvent<HTMLElement>) => {
      if (e.button !== 0 || !e.isPrimary) return;
      const { spot, scale } = spotIn(plan, e);
      const start = draft.shown;
      const { curve, semitones } = start;
      const reach = (TOUCH / 2) * scale;
      const hold = holdAt(plan, curve, semitones, spot, reach);
      const y = curveY(plan, curve, semitones, spot.x);
      if (hold === null && (y === null || Math.abs(y - spot.y) > reach)) return;
      const at = hold === null ? spot : holdSpot(plan, start, hold);
      const off = { x: spot.x - at.x, y: spot.y - at.y };
      const from = { x: e.clientX, y: e.clientY };
      pressed.current = { pointer: e.pointerId, from, hold, off, start, last: null };
      if (hold === null) return;
      e.currentTarget.setPointerCapture(e.pointerId);
      setHeld(hold);
      onHold(hold);
    },
    onPointerMove: (e: PointerEvent<HTMLElement>) => {
      const p = pressed.current;
      if (p === null || p.pointer !== e.pointerId) return;
      const far = Math.hypot(e.clientX - p.from.x, e.clientY - p.from.y);
      if (p.last === null && far <= TAP) return;
      if (p.hold === null) {
        pressed.current = null;
        return;
      }
      const { spot } = spotIn(plan, e);
      const to = { x: spot.x - p.off.x, y: spot.y - p.off.y };
      const last = dragged(plan, p.start, p.hold, to);
      pressed.current = { ...p, last };
      draft.preview(last);
    },
    onPointerUp: (e: PointerEvent<HTMLElement>) => {
      const p = pressed.current;
      if (p === null || p.pointer !== e.pointerId) return;
      pressed.current = null;
      setHeld(null);
      const { spot, scale } = spotIn(plan, e);
      if (p.last !== null) {
        if (sameData(p.last, p.start)) draft.drop();
        else draft.write(p.last);
      } else if (typeof p.hold !== 'number') {
        const y = curveY(plan, p.start.curve, p.start.semitones, spot.x);
        if (y !== null && Math.abs(y - spot.y) <= (TOUCH / 2) * scale) onTapLine(spot);
      }
    },
    onPointerCancel: giveUp,
    onLostPointerCapture: giveUp,
  };
  return { held, handlers };
}

/** The pointer's place on the drawing, and how many of the plan's px one of the screen's is. */
function spotIn(plan: BendPlan, e: PointerEvent<HTMLElement>) {
  const box = e.currentTarget.getBoundingClientRect();
  const scale = plan.width / box.width;
  return { spot: { x: (e.clientX - box.left) * scale, y: (e.clientY - box.top) * scale }, scale };
}

function holdSpot(plan: BendPlan, { curve, semitones }: Drawn, hold: Hold): Spot {
  const point = hold === 'target' ? undefined : curve[hold];
  return point === undefined
    ? { x: 0, y: heightY(plan, semitones) }
    : spotOf(plan, point, semitones);
}

/** The bend with what is held put to a place of the drawing. */
function dragged(plan: BendPlan, start: Drawn, hold: Hold, to: Spot): Drawn {
  const { curve, semitones } = start;
  if (hold !== 'target') {
    return { curve: movePoint(curve, hold, pointAt(plan, to, semitones), semitones), semitones };
  }
  const wanted = semitonesAt(plan, to.y);
  const nearest = widthsOf(plan.most).reduce((a, b) =>
    Math.abs(b - wanted) < Math.abs(a - wanted) ? b : a,
  );
  return { curve, semitones: nearest };
}
