import { type RefObject, useLayoutEffect, useRef } from 'react';

/**
 * Tells the page how high something is that stays at its foot, so that the line of the cursor is kept
 * above it.
 */
export function useHeightTold<E extends HTMLElement>(
  as: '--write-foot' | '--write-neck',
): RefObject<E | null> {
  const ref = useRef<E>(null);
  useLayoutEffect(() => {
    const foot = ref.current;
    const page = foot?.parentElement;
    if (!foot || !page) return;
    const tell = () => page.style.setProperty(as, `${foot.offsetHeight}px`);
    tell();
    const observer = new ResizeObserver(tell);
    observer.observe(foot);
    return () => observer.disconnect();
  }, [as]);
  return ref;
}
