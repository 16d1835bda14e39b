import type { Kind, Thing } from '../io/kinds/kind';

/** What is of one kind among things. */
export function ofKind<T>(things: readonly Thing[], kind: Kind<T>): readonly T[] {
  // What a kind has read is what the kind is of.
  return things.flatMap((t) => (t.kind.name === kind.name ? [t.value as T] : []));
}
