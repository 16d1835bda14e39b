/**
 * Puts the focus on the page itself and leaves it where it is scrolled to: for what is about to go from under
 * the focus, which would be lost with it.
 */
export function focusPage(): void {
  document.querySelector('main')?.focus({ preventScroll: true });
}
