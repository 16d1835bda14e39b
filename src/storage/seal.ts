import { migrate, type RawDocument } from '../io/json/migrate';
import type { AnyKind } from '../io/kinds/kind';
import { sumOf } from '../io/sum';

export { sumOf };

/** Raised where a check of any kind becomes stricter: then everything is checked anew. */
const CHECKS = 1;

/**
 * A number that goes with a text which this program has checked, under its key: whoever finds both
 * together need not check it again. 52 bits, of FNV-1a twice with 32 (G. Fowler, L. Noll and K.-P.
 * Vo); against damage, not against malice, since whoever can write to the database can do anything.
 */
export function sealOf(kind: AnyKind, key: string, text: string): number {
  return sumOf(`${basisOf(kind)} ${key} `, text);
}

/** What the seals of a kind stand on: where it is another, everything of that kind is checked anew. */
export function basisOf(kind: AnyKind): string {
  const { format, newest } = kind.versions;
  return `${CHECKS} ${format} ${newest}`;
}

/** What a text holds that was checked when it was written, maybe by an earlier version. */
export function valueIn(kind: AnyKind, text: string): unknown {
  // It was an object with a version when it was checked.
  const read = migrate(kind.versions, JSON.parse(text) as RawDocument);
  if (!read.ok) throw new Error('what was checked has a version');
  return read.value;
}
