import { useCallback, useState } from 'react';

/** A yes or no that is kept on this device; `usual` until somebody chose. */
export function keptChoice(key: string, usual: boolean): boolean {
  try {
    const kept = localStorage.getItem(key);
    return kept === null ? usual : kept === 'yes';
  } catch {
    // Storage is switched off for this address: the choice lasts as long as the page.
    return usual;
  }
}

/** Keeps it on this device, where it lets us. */
export function keepChoice(key: string, yes: boolean): void {
  try {
    localStorage.setItem(key, yes ? 'yes' : 'no');
  } catch {
    // As above.
  }
}

/** A yes or no that this device remembers. @param usual Where it remembers nothing. */
export function useKept(key: string, usual: boolean): readonly [boolean, (yes: boolean) => void] {
  const [yes, setYes] = useState(() => keptChoice(key, usual));
  const set = useCallback(
    (now: boolean) => {
      setYes(now);
      keepChoice(key, now);
    },
    [key],
  );
  return [yes, set];
}
