import type { Phrase } from '../../core/phrase/types';
import type { Thing } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import type { LibraryStore } from '../../storage/types';
import { count } from '../shared/words';

/** What came in: under which id, and whether beside another one (`copied`). */
interface Came {
  readonly id: string;
  readonly how: string;
}

/** A phrase that came in and names others, and those that it names. */
export interface Naming {
  readonly came: Came;
  readonly names: readonly string[];
}

/** Which phrases are named by something that came in: what it is made of, and what it was made from. */
export function namingOf({ kind, value }: Thing, came: Came): readonly Naming[] {
  if (kind !== PHRASES || (came.how !== 'added' && came.how !== 'copied')) return [];
  // What stands under the kind of phrases is one.
  const { parent, parts = [] } = value as Phrase;
  const names = [...parts.map((p) => p.source), ...(parent === null ? [] : [parent])];
  return names.length === 0 ? [] : [{ came, names }];
}

/**
 * Where what is named came in under another id, names it by that: a solo goes on knowing the phrases
 * that came with it, not those of the same ids that are here. After the rest has come in, since a file
 * may hold a solo before its parts. What came in beside another version goes on naming that as its parent.
 * @returns what could not be done, in words.
 */
export async function followSources(
  store: Pick<LibraryStore, 'of'>,
  naming: readonly Naming[],
  renamed: ReadonlyMap<string, string>,
): Promise<readonly string[]> {
  const to = (id: string) => renamed.get(`${PHRASES.name} ${id}`) ?? id;
  const moved = naming.filter(({ names }) => names.some((id) => to(id) !== id));
  if (moved.length === 0) return [];
  const copies = new Set(moved.filter((n) => n.came.how === 'copied').map((n) => n.came.id));
  const records = store.of(PHRASES);
  const loaded = await records.load(moved.map((n) => n.came.id));
  const items = loaded.map(({ id, value, revision }) => {
    const { parent, parts } = value;
    const next: Phrase = {
      ...value,
      parent: parent === null || copies.has(id) ? parent : to(parent),
      ...(parts && { parts: parts.map((p) => ({ ...p, source: to(p.source) })) }),
    };
    return { value: next, base: revision };
  });
  const saved = await records.saveAll(items);
  if (saved.kind === 'saved') return [];
  return [
    `In ${count(items.length, 'phrase')} what it is made of is named as in the file, though that came in under another name.`,
  ];
}
