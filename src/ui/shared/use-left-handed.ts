import { useState } from 'react';

const KEY = 'degreewise.neck.left-handed';

/** Whether the neck is shown as a left-handed player sees it; kept on this device. */
export function useLeftHanded(): readonly [boolean, (yes: boolean) => void] {
  const [yes, setYes] = useState(readKept);
  const set = (now: boolean) => {
    setYes(now);
    keep(now);
  };
  return [yes, set];
}

function readKept(): boolean {
  try {
    return localStorage.getItem(KEY) === 'yes';
  } catch {
    // Storage is switched off for this address: the choice lasts as long as the page.
    return false;
  }
}

function keep(yes: boolean): void {
  try {
    localStorage.setItem(KEY, yes ? 'yes' : 'no');
  } catch {
    // As above.
  }
}
