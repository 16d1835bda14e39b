import { useEffect } from 'react';

/** Single keys, while nothing is written into a field; a key that is held counts once. */
export function useKeys(keys: Readonly<Record<string, (at: number) => void>>): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      const typing = e.target instanceof HTMLElement && e.target.matches('input, select, textarea');
      if (typing || e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
      const run = keys[e.key];
      if (run === undefined) return;
      e.preventDefault();
      if (!e.repeat) run(e.timeStamp);
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  });
}
