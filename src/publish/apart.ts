import type { Phrase } from '../core/phrase/types';
import { isTake, takesOf } from '../core/practice/takes';
import type { Cycle } from '../core/practice/types';
import { ok, type Result } from '../core/result';
import { formatKey } from '../core/theory/key';

/** A phrase in one key, or over one chord, of a cycle. */
export interface ApartTake {
  /** What its file is called after the name of the phrase: `02-F`. */
  readonly name: string;
  readonly phrase: Phrase;
}

export interface Apart {
  readonly takes: readonly ApartTake[];
  /** What cannot be played there, and why, each in a line. */
  readonly left: readonly string[];
  /** What was not simply moved, each in a line. */
  readonly changes: readonly string[];
}

/** Every round of a cycle by itself; or what is wrong with the cycle. */
export function takenApart(phrase: Phrase, cycle: Cycle): Result<Apart> {
  const made = takesOf(phrase, cycle);
  if (!made.ok) return made;
  const { count, at } = made.value;
  const digits = String(count).length;
  const takes: ApartTake[] = [];
  const left: string[] = [];
  const changes: string[] = [];
  for (let i = 0; i < count; i++) {
    const take = at(i);
    if (isTake(take)) {
      const key = (take.goal?.text ?? formatKey(phrase.key)).replace(/[^\p{L}\p{N}#♭♯]+/gu, '-');
      takes.push({ name: `${String(i + 1).padStart(digits, '0')}-${key}`, phrase: take.phrase });
      changes.push(...take.changes.map((c) => `${key}: ${c.text}`));
    } else left.push(`${take.goal.text}: ${take.why}`);
  }
  return ok({ takes, left, changes });
}
