import { useLayoutEffect, useRef } from 'react';

/** What was typed for the list before it was there. */
export interface TypedAhead {
  text: string;
  /** The first thing found is to be done. */
  enter: boolean;
  /** Typed behind that: for what is done. */
  readonly after: KeyboardEvent[];
}

const nothing = (): TypedAhead => ({ text: '', enter: false, after: [] });

/**
 * Keeps what is typed for the list while it is on its way, and lets it reach nothing else: in the
 * score each letter would be a command.
 */
export function useTypedAhead(
  open: boolean,
  waiting: boolean,
  onClose: () => void,
): Readonly<TypedAhead> {
  const ahead = useRef<TypedAhead>(nothing());
  // With the drawing, not after it: no key may fall between the two.
  useLayoutEffect(() => {
    if (!open) ahead.current = nothing();
    if (!open || !waiting) return;
    const onKey = (e: KeyboardEvent) => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      e.preventDefault();
      e.stopImmediatePropagation();
      const kept = ahead.current;
      if (e.key === 'Escape') onClose();
      else if (kept.enter) kept.after.push(e);
      else if (e.key === 'Enter') kept.enter = true;
      else if (e.key === 'Backspace') kept.text = kept.text.slice(0, -1);
      else if (e.key.length === 1) kept.text += e.key;
    };
    window.addEventListener('keydown', onKey, true);
    return () => window.removeEventListener('keydown', onKey, true);
  }, [open, waiting, onClose]);
  return ahead.current;
}
