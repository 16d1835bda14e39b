/** What `strokeName` looks at; a `KeyboardEvent` has it. */
export interface KeyStroke {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly altKey: boolean;
  readonly shiftKey: boolean;
  readonly getModifierState: (name: 'AltGraph' | 'CapsLock') => boolean;
}

/**
 * A key as the table of commands names it: the printed character as it is (`b`, `B`, `+`), a key's
 * name with all that is held (`Ctrl+Shift+ArrowUp`). The command key of a Mac counts as Ctrl. What
 * is printed with AltGr, or with the Option key of a Mac, is the character and nothing else. With Caps
 * Lock on a letter is what it is without: commands are no text.
 */
export function strokeName(e: KeyStroke): string {
  const printed = [...e.key].length === 1;
  const composed = e.getModifierState('AltGraph') || (e.altKey && printed && !PLAIN.test(e.key));
  const parts = [
    (e.ctrlKey || e.metaKey) && !composed ? 'Ctrl' : '',
    e.altKey && !composed ? 'Alt' : '',
    e.shiftKey && !printed ? 'Shift' : '',
    printed && e.getModifierState('CapsLock') ? uncapped(e) : e.key,
  ];
  return parts.filter((p) => p !== '').join('+');
}

/** A letter as it is without Caps Lock, on systems that turn it round with Shift and on those that do not. */
function uncapped({ key, shiftKey }: Pick<KeyStroke, 'key' | 'shiftKey'>): string {
  return shiftKey ? key.toUpperCase() : key.toLowerCase();
}

/** Characters that every keyboard prints without help. */
const PLAIN = /^[a-z0-9]$/iu;
