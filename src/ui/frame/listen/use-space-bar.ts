import { useEffect } from 'react';

const BUSY = 'button, a, input, select, textarea, summary, dialog, [role="application"]';

/**
 * The space bar plays and stops, except where it means something else.
 * @param also Id of an element that takes keys of its own and has none for this one.
 */
export function useSpaceBar(toggle: () => void, also?: string): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      if (e.key !== ' ' || e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
      const at = e.target instanceof Element ? e.target : null;
      const busy = at?.closest(BUSY) ?? null;
      if (busy !== null && busy.id !== also) return;
      if (document.querySelector('dialog[open]') !== null) return;
      e.preventDefault();
      toggle();
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  }, [toggle, also]);
}
