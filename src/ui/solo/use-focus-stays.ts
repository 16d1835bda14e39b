import { type RefObject, useEffect, useLayoutEffect, useRef } from 'react';

/**
 * Keeps the focus in a panel when what had it is taken out of the page, as a button is that has done its work:
 * who goes by keys would have to begin again at the top of the page.
 * @param panel What takes the focus then; it needs a `tabIndex`.
 */
export function useFocusStays(panel: RefObject<HTMLElement | null>): void {
  /** What in the panel had the focus last; null where that was elsewhere. */
  const held = useRef<Element | null>(null);
  useEffect(() => {
    const noted = ({ target }: FocusEvent) => {
      const inside = target instanceof Element && panel.current?.contains(target);
      held.current = inside ? target : null;
    };
    document.addEventListener('focusin', noted);
    return () => document.removeEventListener('focusin', noted);
  }, [panel]);
  useLayoutEffect(() => {
    // A click beside everything lets it go, too, but takes nothing out of the page.
    if (held.current !== null && !held.current.isConnected) panel.current?.focus();
  });
}
