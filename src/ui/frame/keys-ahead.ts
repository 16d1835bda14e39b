/**
 * Keys that are pressed for a page that is still on its way. Whoever says 'write a new phrase' types
 * on at once; until the score is there, the keys would go to the page before it, or to nobody.
 */

/** After so long whatever was to come does not, in milliseconds. */
const LONGEST = 10_000;

interface Keeping {
  readonly kept: KeyboardEvent[];
  readonly end: () => void;
}

let keeping: Keeping | null = null;

/** From now on keys are kept, and reach nothing else, until `handKeysOver` or `letKeysGo`. */
export function keepKeys(): void {
  if (keeping !== null) return;
  const kept: KeyboardEvent[] = [];
  const onKey = (e: KeyboardEvent) => {
    // What is handed over comes by here too.
    if (!e.isTrusted) return;
    // What was to come did not, and offers to be asked for again.
    if (document.querySelector('.missing') !== null) return letKeysGo();
    // Whoever goes elsewhere does not wait.
    if (e.key === 'Tab' || (e.altKey && BACK.test(e.key))) return letKeysGo();
    if (!belongs(e)) return;
    e.preventDefault();
    e.stopImmediatePropagation();
    // The key that is held since it pressed the button is none for the page.
    if (!e.repeat) kept.push(e);
  };
  window.addEventListener('keydown', onKey, true);
  window.addEventListener('pointerdown', letKeysGo, true);
  const limit = setTimeout(letKeysGo, LONGEST);
  keeping = {
    kept,
    end: () => {
      window.removeEventListener('keydown', onKey, true);
      window.removeEventListener('pointerdown', letKeysGo, true);
      clearTimeout(limit);
    },
  };
}

/** With Alt the browser's way back and forward. */
const BACK = /^Arrow(?:Left|Right)$/u;

/** What is typed, and the keys of the score; the browser's own stay the browser's. */
function belongs(e: KeyboardEvent): boolean {
  if (e.isComposing || /^(?:F\d+|Shift|Control|Alt|Meta|AltGraph|CapsLock)$/u.test(e.key)) {
    return false;
  }
  const command = (e.ctrlKey || e.metaKey) && !e.getModifierState('AltGraph');
  return !command || /^(?:[.zya]|Arrow.*)$/iu.test(e.key);
}

/** Nothing comes: keys go where they usually go, and what was kept is dropped. */
export function letKeysGo(): void {
  keeping?.end();
  keeping = null;
}

/** Keeps keys that were pressed before. @returns false where nothing is waited for. */
export function keepThese(keys: readonly KeyboardEvent[]): boolean {
  keeping?.kept.push(...keys);
  return keeping !== null;
}

/** Whether something that was asked for is still waited for. */
export const keysKept = (): boolean => keeping !== null;

/**
 * The page is there: gives it one key after the other, in the order they were pressed, those that
 * are pressed meanwhile behind them.
 * @param deliver Is called once for each key, each time in a task of its own, when what the key
 *   before has opened is on the page.
 */
export function handKeysOver(deliver: (key: KeyboardEvent) => void): void {
  const from = keeping;
  if (from === null) return;
  const next = () => {
    if (keeping !== from) return;
    const key = from.kept.shift();
    if (key === undefined) letKeysGo();
    else {
      deliver(key);
      setTimeout(next);
    }
  };
  setTimeout(next);
}

/** Follows the address: going to a page for writing is a wait for it. */
export function keepKeysOnTheWay(placeToWrite: () => string | null): void {
  let before: string | null = null;
  const look = () => {
    const now = placeToWrite();
    if (now === before) return;
    before = now;
    if (now === null) letKeysGo();
    else keepKeys();
  };
  window.addEventListener('hashchange', look);
  look();
}
