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
  if (!at.dispatchEvent(again) || !(at instanceof HTMLInputElement)) return;
  if (key === 'Enter') at.form?.requestSubmit();
  else if (key.length === 1 && !ctrlKey && !metaKey) put(at, key);
  else if (key === 'Backspace') put(at, '');
}

/** Puts text in at the cursor; for none, what is chosen or stands before it goes. */
function put(field: HTMLInputElement, text: string): void {
  const end = field.selectionEnd ?? field.value.length;
  const start = field.selectionStart ?? end;
  const from = text === '' && start === end ? Math.max(0, start - 1) : start;
  field.setRangeText(text, from, end, 'end');
  field.dispatchEvent(new InputEvent('input', { bubbles: true }));
}
