import { type RefObject, useLayoutEffect, useRef, useState } from 'react';

/** Width of an element's content in whole px, following its size; null before it is measured. */
export function useWidth<E extends HTMLElement>(): readonly [RefObject<E | null>, number | null] {
  const ref = useRef<E>(null);
  const [width, setWidth] = useState<number | null>(null);
  useLayoutEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const measure = () => {
      const { paddingLeft, paddingRight } = getComputedStyle(element);
      const padding = Number.parseFloat(paddingLeft) + Number.parseFloat(paddingRight);
      const next = Math.floor(element.clientWidth - padding);
      // Hidden elements have no width; their music keeps the width it had.
      if (next > 0) setWidth(next);
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}

/** How much larger than usual the reader's text is; the music grows along. */
export function textScale(): number {
  return Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 || 1;
}
