/** Where Escape has a use of its own, which it keeps beside silence: what was typed is given back, a list is closed. */
const TYPED_IN = 'input, textarea, select, [aria-expanded="true"]';

interface Source {
  readonly sounds: () => boolean;
  readonly hush: () => void;
}

/** What can sound in this window; a phrase and a recording may do so together. */
const sources: Source[] = [];

/**
 * Escape ends what sounds, wherever the focus is. An open dialog has it first. On the score and on a button silence is all
 * it brings: what is chosen stays chosen, and is let go of by the next press.
 * @param sounds Whether something is played; a single note that was typed or tapped needs no end.
 */
export function hushOnEscape(sounds: () => boolean, hush: () => void): void {
  sources.push({ sounds, hush });
  // Before everything else: most that hears of Escape does not say that it has used it.
  if (sources.length === 1) window.addEventListener('keydown', press, true);
}

function press(e: KeyboardEvent): void {
  if (e.key !== 'Escape' || e.ctrlKey || e.metaKey || e.altKey || e.shiftKey) return;
  const sounding = sources.filter((s) => s.sounds());
  if (e.isComposing || sounding.length === 0 || document.querySelector('dialog[open]') !== null)
    return;
  for (const s of sounding) s.hush();
  const at = e.target instanceof Element ? e.target : null;
  if (at?.closest(TYPED_IN) != null) return;
  e.preventDefault();
  e.stopImmediatePropagation();
}
