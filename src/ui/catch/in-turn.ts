import { type RefObject, useLayoutEffect, useRef, useState } from 'react';
import { fontsAhead } from './fonts-ahead';

/** One that waits to be drawn, and where it stands in the page. */
interface Waiting {
  readonly element: () => Element | null;
  readonly draw: () => void;
}

const waiting: Waiting[] = [];
let frame = 0;
/** Whether the fonts have come: before that nothing is drawn that would be laid out twice. */
let ready = false;

/**
 * What a list draws, one part in each frame, so that however long it is the page answers meanwhile: those in the window
 * first, then from the first to the last.
 * @param of What it is drawn of: with another one it waits for its turn.
 * @param wished What is to be shown of that; changes at once while `of` is the same.
 * @param atOnce It cannot wait: somebody is at work in it.
 * @returns what is shown now, null before its first turn, whether it is what was wished, and a place for the element of the part.
 */
export function useInTurn<E extends Element, T>(
  of: object,
  wished: T,
  atOnce: boolean,
): { readonly ref: RefObject<E | null>; readonly now: T | null; readonly isDue: boolean } {
  const ref = useRef<E>(null);
  const last = useRef<T | null>(null);
  const [due, setDue] = useState<object | null>(null);
  // What has the focus is not left behind under the hands.
  const isDue = atOnce || due === of || ref.current?.contains(document.activeElement) === true;
  const now = isDue ? wished : last.current;
  useLayoutEffect(() => {
    last.current = now;
  }, [now]);
  useLayoutEffect(
    () => (isDue ? undefined : wait({ element: () => ref.current, draw: () => setDue(of) })),
    [isDue, of],
  );
  return { ref, now, isDue };
}

/** @returns what ends the waiting. */
function wait(one: Waiting): () => void {
  waiting.push(one);
  if (ready) askForFrame();
  else {
    void fontsAhead().then(() => {
      ready = true;
      askForFrame();
    });
  }
  return () => {
    const at = waiting.indexOf(one);
    if (at >= 0) waiting.splice(at, 1);
  };
}

function askForFrame(): void {
  if (frame === 0 && waiting.length > 0) frame = requestAnimationFrame(next);
}

function next(): void {
  const one = waiting.find(isInWindow) ?? waiting[0];
  frame = 0;
  if (one === undefined) return;
  waiting.splice(waiting.indexOf(one), 1);
  one.draw();
  askForFrame();
}

function isInWindow({ element }: Waiting): boolean {
  const box = element()?.getBoundingClientRect();
  return box !== undefined && box.bottom > 0 && box.top < window.innerHeight;
}
