import { type RefObject, useEffect, useRef, useState } from 'react';

/** How far from the window, in px, a block is in the document. */
const AHEAD = '1200px';

/**
 * Whether a block of a long list is near enough to the window to be in the document.
 * @param begins Whether it is there before anything is known of the window.
 * @param ahead How far from the window, in px.
 */
export function useNear<E extends HTMLElement>(
  begins: boolean,
  ahead: string = AHEAD,
): {
  readonly ref: RefObject<E | null>;
  readonly near: boolean;
  /** Height in px when it was last there; null where it never was. */
  readonly height: number | null;
} {
  const ref = useRef<E>(null);
  const [near, setNear] = useState(begins);
  const [height, setHeight] = useState<number | null>(null);
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const observer = new IntersectionObserver(
      (entries) => {
        // On a busy page several come at once, as when the window was small for a moment; the last is how it stands.
        const entry = entries.at(-1);
        if (entry === undefined) return;
        // What has the focus stays, or the focus would be lost.
        const kept = entry.isIntersecting || element.contains(document.activeElement);
        if (!kept && element.childElementCount > 0) setHeight(entry.boundingClientRect.height);
        setNear(kept);
      },
      { rootMargin: `${ahead} 0px` },
    );
    observer.observe(element);
    return () => observer.disconnect();
  }, [ahead]);
  return { ref, near, height };
}
