import type { AnyKind } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import { count } from './words';

/** `3 phrases, 1 song form`. */
export function countOf(things: readonly { readonly kind: AnyKind }[]): string {
  const kinds = [...new Set(things.map((t) => t.kind))];
  if (kinds.length === 0) return count(0, PHRASES.noun);
  return kinds.map((k) => count(things.filter((t) => t.kind === k).length, k.noun)).join(', ');
}
