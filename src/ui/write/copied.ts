import type { Phrase } from '../../core/phrase/types';
import { decodePhrase, encodePhrase } from '../../io/json';

/** The copy as music beside its plain text, which is all that most ways to the clipboard give back. */
interface Copied {
  readonly text: string;
  readonly phrase: Phrase;
}

const KEY = 'degreewise.copied';

/** What was copied last in this window. */
let last: Copied | null = null;

/** Remembers what went to the clipboard, for this window and for others of this address. */
export function rememberCopy(text: string, phrase: Phrase): void {
  last = { text, phrase };
  try {
    localStorage.setItem(KEY, JSON.stringify({ text, json: encodePhrase(phrase) }));
  } catch {
    // No room, or storage is switched off: other windows then read the plain text.
  }
}

/** The music that a text on the clipboard stands for; null where it did not come from here. */
export function copiedAs(text: string): Phrase | null {
  // What is kept for all windows is never older than what this one remembers.
  const own = [fromLastWindow(), last].find((c) => c !== null && same(c.text, text));
  return own?.phrase ?? null;
}

/** Something was copied in this window. */
export function hasCopied(): boolean {
  return last !== null;
}

/** What the window wrote that copied last; it passes the same door as a file. */
function fromLastWindow(): Copied | null {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? 'null');
    if (typeof kept !== 'object' || kept === null) return null;
    const { text, json } = kept as Record<string, unknown>;
    if (typeof text !== 'string' || typeof json !== 'string') return null;
    const phrase = decodePhrase(json);
    return phrase.ok ? { text, phrase: phrase.value } : null;
  } catch {
    // Nothing that can be read: the plain text will do.
    return null;
  }
}

/** Clipboards change line ends. */
function same(a: string, b: string): boolean {
  const plain = (t: string) => t.replaceAll('\r\n', '\n').trimEnd();
  return plain(a) === plain(b);
}
