import type { AnyKind, Thing } from '../../io/kinds/kind';
import type { LibraryStore, Refusal, Revision, ThingName } from '../../storage/types';

/** Something that was put together with what is there, or was in it already. */
export interface Joined extends ThingName {
  readonly title: string;
  readonly how: 'same' | 'joined';
  /** What was written in the place of what, where it was. */
  readonly join?: Join;
}

/** How something was put together: what was there, what is there now, and as what it was written. */
export interface Join {
  readonly before: unknown;
  readonly after: unknown;
  readonly revision: Revision;
}

type Store = Pick<LibraryStore, 'of'>;

/** What comes from a file, without those that are put together with what is there (`Kind.joining`). */
export function apartFrom<T extends Thing>(
  store: Store,
  things: readonly T[],
): { readonly entries: readonly T[]; readonly joins: readonly T[] } {
  const joins = things.filter(({ kind, value }) => {
    const there = kind.joining && thereFor(store, kind, value);
    return there !== undefined && kind.joining?.key(value) === kind.joining?.key(there);
  });
  if (joins.length === 0) return { entries: things, joins };
  const known = new Set(joins);
  return { entries: things.filter((t) => !known.has(t)), joins };
}

/**
 * Puts them together with what is there.
 * @param renamed New ids of what came in before, by kind and id in the file.
 */
export async function joinAll(
  store: Store,
  joins: readonly Thing[],
  renamed: ReadonlyMap<string, string>,
): Promise<{ readonly came: readonly Joined[] } | { readonly refused: Refusal }> {
  const came: Joined[] = [];
  for (const { kind, value } of joins) {
    const named =
      kind.withReferences?.(value, (name, id) => renamed.get(`${name} ${id}`) ?? id) ?? value;
    const { id, title } = kind.identityOf(value);
    const result = await joinOne(store, kind, named, id);
    if (result !== 'same' && !('before' in result)) return { refused: result };
    came.push({
      kind,
      id,
      title,
      ...(result === 'same' ? { how: 'same' } : { how: 'joined', join: result }),
    });
  }
  return { came };
}

/** Again where another window wrote it meanwhile. */
async function joinOne(
  store: Store,
  kind: AnyKind,
  value: unknown,
  id: string,
): Promise<'same' | Join | Refusal> {
  for (;;) {
    const there = store.of(kind).get(id);
    const joined = there === null ? value : kind.joining!.join(there.value, value);
    if (there !== null && JSON.stringify(joined) === JSON.stringify(there.value)) return 'same';
    const saved = await store.of(kind).save(joined, there?.revision ?? null);
    if (saved.kind === 'saved') {
      const { value: after, revision } = saved.stored;
      return { before: there?.value ?? null, after, revision };
    }
    if (saved.kind !== 'conflict') return saved;
    const { conflict } = saved;
    if (conflict.kind === 'changed') continue;
    return {
      kind: 'failed',
      problem: { message: `the ${kind.noun} that is there cannot be changed` },
    };
  }
}

function thereFor(store: Store, kind: AnyKind, value: unknown): unknown {
  return store.of(kind).get(kind.identityOf(value).id)?.value;
}
