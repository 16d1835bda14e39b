import { type RefObject, useEffect, useRef, useState } from 'react';

/** What a finger carries, and where it is. */
export interface Carried {
  readonly id: string;
  /** The bar it lay on; null where it comes from the shelf. */
  readonly from: number | null;
  /** The bar under the finger; null beside them. */
  readonly over: number | null;
  /** Of the finger, in px of the window. */
  readonly x: number;
  readonly y: number;
}

/** So long a finger rests on what it picks up: one that moves sooner moves the page. Milliseconds. */
const HOLD = 350;
/** A resting finger moves less than this. Px. */
const STILL = 10;
/** So near to the top or the bottom of the window the page moves along. Px. */
const EDGE = 72;
/** Px a frame at the very edge. */
const FASTEST = 14;

/**
 * Lets a finger that rests on what has `data-carries` pick it up and put it onto a bar. Until then the page scrolls as ever;
 * Escape, a second finger and letting go beside the bars change nothing.
 * @param area What holds both the bars and what is carried.
 */
export function useFingerDrag(
  area: RefObject<HTMLElement | null>,
  onDrop: (bar: number, id: string, from: number | null) => void,
): Carried | null {
  const [carried, setCarried] = useState<Carried | null>(null);
  const drop = useRef(onDrop);
  drop.current = onDrop;
  useEffect(() => {
    const within = area.current;
    return within === null ? undefined : watchFingers(within, setCarried, drop);
  }, [area]);
  return carried;
}

/** @returns ends it. */
function watchFingers(
  within: HTMLElement,
  show: (carried: Carried | null) => void,
  drop: RefObject<(bar: number, id: string, from: number | null) => void>,
): () => void {
  let touched: { readonly x: number; readonly y: number } | null = null;
  let now: Carried | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let frame = 0;
  /** Since it was picked up: what lies at an edge does not move the page by being picked up. */
  let moved = false;

  const carry = (next: Carried | null) => {
    now = next;
    show(next);
  };
  const at = (x: number, y: number) => {
    if (now !== null) carry({ ...now, x, y, over: barAt(x, y) });
  };
  const letGo = () => {
    clearTimeout(timer);
    cancelAnimationFrame(frame);
    touched = null;
    if (now !== null) carry(null);
  };
  const scroll = () => {
    if (now === null) return;
    const by = moved ? scrollAt(now.y, window.innerHeight) : 0;
    if (by !== 0) {
      window.scrollBy({ top: by, behavior: 'instant' });
      at(now.x, now.y);
    }
    frame = requestAnimationFrame(scroll);
  };

  const start = (e: TouchEvent) => {
    if (e.touches.length > 1) return;
    const on = e.target instanceof Element ? e.target.closest<HTMLElement>('[data-carries]') : null;
    const [finger] = e.touches;
    if (on === null || finger === undefined) return;
    const { clientX: x, clientY: y } = finger;
    touched = { x, y };
    moved = false;
    // What it began on hears of the finger to its end, also where it has left the page meanwhile.
    e.target?.addEventListener('touchend', end as EventListener, { once: true });
    timer = setTimeout(() => {
      const { carries: id, carriedFrom: from } = on.dataset;
      if (id === undefined) return;
      carry({ id, from: from === undefined ? null : Number(from), over: barAt(x, y), x, y });
      frame = requestAnimationFrame(scroll);
    }, HOLD);
  };
  const move = (e: TouchEvent) => {
    const [finger] = e.touches;
    if (touched === null || finger === undefined) return;
    const { clientX: x, clientY: y } = finger;
    const far = Math.hypot(x - touched.x, y - touched.y) > STILL;
    if (now === null) {
      if (far) letGo();
      return;
    }
    e.preventDefault();
    moved ||= far;
    at(x, y);
  };
  const end = (e: TouchEvent) => {
    const put = now;
    letGo();
    // A slow press is still a press.
    if (put === null || !moved) return;
    // No press follows on what it was picked up from.
    if (e.cancelable) e.preventDefault();
    if (put.over !== null) drop.current(put.over, put.id, put.from);
  };
  const key = (e: KeyboardEvent) => {
    if (now === null || e.key !== 'Escape') return;
    e.stopPropagation();
    letGo();
  };
  // A browser of its own accord would drag, or show a menu, where a finger rests.
  const refuse = (e: Event) => {
    if (touched !== null) e.preventDefault();
  };

  const another = (e: TouchEvent) => {
    if (e.touches.length > 1) letGo();
  };

  const ends = new AbortController();
  const { signal } = ends;
  within.addEventListener('touchstart', start, { passive: true, signal });
  // Listened to from the start: browsers do not ask one that comes once the finger is down.
  within.addEventListener('touchmove', move, { passive: false, signal });
  within.addEventListener('touchcancel', letGo, { signal });
  within.addEventListener('dragstart', refuse, { capture: true, signal });
  within.addEventListener('contextmenu', refuse, { signal });
  window.addEventListener('touchstart', another, { capture: true, passive: true, signal });
  window.addEventListener('keydown', key, { capture: true, signal });
  window.addEventListener('blur', letGo, { signal });
  return () => {
    letGo();
    ends.abort();
  };
}

/** The bar at a place of the window; null where there is none. */
function barAt(x: number, y: number): number | null {
  const bar = document.elementFromPoint(x, y)?.closest<HTMLElement>('[data-bar]');
  return bar?.dataset.bar === undefined ? null : Number(bar.dataset.bar);
}

/** How far the page moves in a frame for a finger at a height of the window: faster the nearer it is to an edge. */
function scrollAt(y: number, height: number): number {
  const up = EDGE - y;
  const down = y - (height - EDGE);
  const part = (far: number) => Math.ceil(FASTEST * Math.min(1, far / EDGE));
  return up > 0 ? -part(up) : down > 0 ? part(down) : 0;
}
