import { type RefObject, useLayoutEffect, useRef } from 'react';

/** Tells the page how high the bar at its foot is, so that the line of the cursor stays above it. */
export function useFootHeight(): RefObject<HTMLDivElement | null> {
  const ref = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const foot = ref.current;
    const page = foot?.parentElement;
    if (!foot || !page) return;
    const tell = () => page.style.setProperty('--write-foot', `${foot.offsetHeight}px`);
    tell();
    const observer = new ResizeObserver(tell);
    observer.observe(foot);
    return () => observer.disconnect();
  }, []);
  return ref;
}
