import { keepThese } from './keys-ahead';

/**
 * A key that was pressed before what it is for was there, as if it came now: to what has the focus. A field
 * that an earlier one has opened takes it as text, which the browser does for real keys only.
 */
export function typeNow(e: KeyboardEvent): void {
  const at = document.activeElement ?? document.body;
  const { key, code, ctrlKey, metaKey, altKey, shiftKey } = e;
  const modifierAltGraph = e.getModifierState('AltGraph');
  const init = { key, code, ctrlKey, metaKey, altKey, shiftKey, modifierAltGraph };
  const again = new KeyboardEvent('keydown', { ...init, bubbles: true, cancelable: true });
  if (!at.dispatchEvent(again) || !isField(at)) return;
  if (key === 'Enter') {
    if (at instanceof HTMLInputElement) at.form?.requestSubmit();
    else put(at, '\n');
  } else if (key === 'Backspace') put(at, '');
  // AltGr, by which some layouts type, counts as both.
  else if (key.length === 1 && (modifierAltGraph || !(ctrlKey || metaKey))) put(at, key);
}

/** Keys that were pressed for what is opened now: one after the other, or when the page that was asked for is there. */
export function typeBehind(keys: readonly KeyboardEvent[]): void {
  if (keepThese(keys)) return;
  const [first, ...others] = keys;
  if (first === undefined) return;
  setTimeout(() => {
    typeNow(first);
    typeBehind(others);
  });
}

type Field = HTMLInputElement | HTMLTextAreaElement;

function isField(at: Element): at is Field {
  return at instanceof HTMLInputElement || at instanceof HTMLTextAreaElement;
}

/** Puts text in at the cursor; for none, what is chosen or stands before it goes. */
function put(field: Field, text: string): void {
  const end = field.selectionEnd ?? field.value.length;
  const start = field.selectionStart ?? end;
  const from = text === '' && start === end ? Math.max(0, start - 1) : start;
  const length = field.value.length - (end - from) + text.length;
  if (field.maxLength >= 0 && length > field.maxLength) return;
  field.setRangeText(text, from, end, 'end');
  field.dispatchEvent(new InputEvent('input', { bubbles: true }));
}
