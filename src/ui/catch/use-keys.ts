import { useEffect } from 'react';

/** What takes keys itself while it has the focus. */
const FIELDS = 'input, select, textarea, [contenteditable], dialog *, [role=application]';
/** What Enter presses. */
const PRESSED = 'button, a, summary';

/** What of a key counts here; a `KeyboardEvent` has it. */
export type PageKey = Pick<
  KeyboardEvent,
  'key' | 'ctrlKey' | 'metaKey' | 'altKey' | 'defaultPrevented' | 'target'
>;

/**
 * The name of a key that is the page's own: a letter is small, with Caps Lock or without. Null while
 * something is written into a field, while a dialog is open, and for what the system has keys for.
 */
export function pageKey(e: PageKey): string | null {
  if (e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return null;
  if (document.querySelector('dialog[open]') !== null) return null;
  if (e.target instanceof Element) {
    if (e.target.matches(FIELDS)) return null;
    if (e.key === 'Enter' && e.target.matches(PRESSED)) return null;
  }
  return e.key.length === 1 ? e.key.toLowerCase() : e.key;
}

/** Single keys, while nothing is written into a field; a key that is held counts once. */
export function useKeys(keys: Readonly<Record<string, ((at: number) => void) | null>>): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      const name = pageKey(e);
      const run = name === null ? null : keys[name];
      if (run === null || run === undefined) return;
      e.preventDefault();
      if (!e.repeat) run(e.timeStamp);
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  });
}

/**
 * The keys that take back and do again, while the focus is in nothing that has them itself: else the browser takes back what
 * was typed into a field before. Not while a dialog is open.
 */
export function useBackKeys(undo: (() => void) | null, redo: (() => void) | null): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      if (!(e.ctrlKey || e.metaKey) || e.altKey || e.defaultPrevented) return;
      if (document.querySelector('dialog[open]') !== null) return;
      if (e.target instanceof Element && e.target.matches(FIELDS)) return;
      const key = e.key.toLowerCase();
      const way = key === 'y' || (key === 'z' && e.shiftKey) ? redo : key === 'z' ? undo : null;
      if (way === null) return;
      e.preventDefault();
      way();
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  });
}
