import { type PointerEvent, type RefObject, useRef, useState } from 'react';
import type { NeckMark } from '../../../core/neck/on-neck';
import type { OtherPlace } from '../../../core/neck/to-place';
import type { NeckPicture } from '../../../engrave/neck/picture';
import { isShown, nearest } from './neck-ways';

/** A pointer that moves less has not dragged; px. */
const STILL = 6;

/** A note on its way to another place; places in units of the drawing. */
export interface Drag {
  readonly mark: NeckMark;
  readonly places: readonly OtherPlace[];
  readonly from: readonly [number, number];
  readonly at: readonly [number, number];
  readonly moved: boolean;
}

/** So near the edge of a room that is scrolled, in px, a dragged note takes the neck along by as much. */
const EDGE = 36;

function scrollAtEdge(room: HTMLElement, x: number): void {
  const { left, right } = room.getBoundingClientRect();
  if (x < left + EDGE) room.scrollLeft -= EDGE / 2;
  else if (x > right - EDGE) room.scrollLeft += EDGE / 2;
}

/** A neck with notes on it that can be moved. */
export interface Board {
  readonly picture: NeckPicture;
  readonly board: RefObject<HTMLDivElement | null>;
  /** Where else a mark can go; nothing can be moved when absent. */
  readonly placesFor: ((mark: NeckMark) => readonly OtherPlace[]) | undefined;
  readonly onMove: ((to: OtherPlace) => void) | undefined;
}

/** Dragging a note over a neck: what is dragged, where it would go, and what the pointer does. */
export function useDrag({ picture, board, placesFor, onMove }: Board) {
  const { width, height } = picture;
  const [drag, setDrawn] = useState<Drag | null>(null);
  // A quick finger is done before the picture is drawn again: what it does goes by this.
  const held = useRef<Drag | null>(null);
  const setDrag = (next: Drag | null) => {
    held.current = next;
    setDrawn(next);
  };
  const inBoard = (e: PointerEvent): readonly [number, number] => {
    const box = board.current!.getBoundingClientRect();
    return [
      ((e.clientX - box.left) * width) / box.width,
      ((e.clientY - box.top) * height) / box.height,
    ];
  };
  const onPointerDown = (e: PointerEvent<HTMLElement>, mark: NeckMark) => {
    if (placesFor === undefined || e.button !== 0) return;
    const from = inBoard(e);
    setDrag({ mark, places: [], from, at: from, moved: false });
  };
  const onPointerMove = (e: PointerEvent<HTMLElement>) => {
    const drag = held.current;
    if (drag === null) return;
    if (drag.moved) scrollAtEdge(board.current!.parentElement!, e.clientX);
    const at = inBoard(e);
    if (!drag.moved) {
      const px = board.current!.getBoundingClientRect().width / width;
      if (Math.hypot(at[0] - drag.from[0], at[1] - drag.from[1]) * px < STILL) return;
      e.currentTarget.setPointerCapture(e.pointerId);
      const places = (placesFor?.(drag.mark) ?? []).filter((p) => isShown(picture, p));
      setDrag({ ...drag, places, at, moved: true });
    } else setDrag({ ...drag, at });
  };
  const onPointerUp = () => {
    const drag = held.current;
    if (drag === null) return;
    setDrag(null);
    if (!drag.moved) return;
    const to = nearest(picture, drag.places, drag.at);
    // After the touch has ended: the mark goes, and a browser loses a tap that follows on one that is gone.
    if (to !== null) setTimeout(() => onMove?.(to));
  };
  const target = drag?.moved ? nearest(picture, drag.places, drag.at) : null;
  const onPointerCancel = () => setDrag(null);
  return { drag, target, onPointerDown, onPointerMove, onPointerUp, onPointerCancel };
}
