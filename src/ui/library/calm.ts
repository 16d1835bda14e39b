/*
 * While the page is scrolled so fast that nobody reads, what flies by is not drawn: it would hold up the scrolling, and be
 * gone before it was seen. What stays has its turn as soon as the page moves slowly, a few pieces a frame.
 */

/** px in a millisecond: a window's height in a quarter of a second. */
const FAST = 3.6;
/** As slow as this again it is calm: between two notches of a wheel it is not. */
const SLOW = 1.2;
/** Milliseconds without scrolling after which the page is at rest. */
const REST = 120;
/** Milliseconds after which the next scrolling begins anew: a jump is no speed. */
const JUMP = 300;
/** Pieces a frame that were held back. */
const EACH_FRAME = 2;

const waiting = new Set<() => void>();
let watched = false;
let fast = false;
let frame = 0;
let rest: ReturnType<typeof setTimeout> | undefined;
let last = { at: 0, y: 0 };

/**
 * Calls at once where the page moves slowly or not at all, else when it does.
 * @returns takes the wish back.
 */
export function whenCalm(call: () => void): () => void {
  watch();
  if (!fast && waiting.size === 0) {
    call();
    return () => undefined;
  }
  waiting.add(call);
  return () => waiting.delete(call);
}

function watch(): void {
  if (watched) return;
  watched = true;
  last = { at: performance.now(), y: window.scrollY };
  window.addEventListener('scroll', moved, { passive: true });
}

function moved(): void {
  const now = { at: performance.now(), y: window.scrollY };
  // What was not scrolled for a while begins anew: a jump is no speed.
  const speed = now.at - last.at > JUMP ? 0 : Math.abs(now.y - last.y) / (now.at - last.at || 1);
  last = now;
  fast = speed > (fast ? SLOW : FAST);
  clearTimeout(rest);
  rest = setTimeout(rested, REST);
  if (!fast) goOn();
}

/** On a busy machine scrolling may wait behind the clock: it is told at the beginning of the next frame. */
function rested(): void {
  const before = last;
  requestAnimationFrame(() => {
    if (last !== before) return;
    fast = false;
    goOn();
  });
}

function goOn(): void {
  if (waiting.size > 0 && frame === 0) frame = requestAnimationFrame(some);
}

/** Lets some have their turn; the rest follow in the next frames, unless the page is fast again. */
function some(): void {
  frame = 0;
  if (fast) return;
  for (const call of [...waiting].slice(0, EACH_FRAME)) {
    waiting.delete(call);
    call();
  }
  goOn();
}
