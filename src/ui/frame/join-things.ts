import { besideId } from '../../core/library/merge';
import type { AnyKind, Thing } from '../../io/kinds/kind';
import type { LibraryStore, Refusal, Revision, ThingName } from '../../storage/types';

/** Something that was put together with what is there, or was in it already. */
export interface Joined extends ThingName {
  readonly title: string;
  readonly how: 'same' | 'joined' | 'copied';
  /** Of a copy: the id that it had. */
  readonly from?: string;
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
  const joins = things.filter(({ kind, value }) => thereFor(store, kind, value) !== null);
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
    const { title } = kind.identityOf(value);
    const from = kind.identityOf(value).id;
    const other = otherNow(kind, value, named);
    const id = other ?? thereFor(store, kind, value) ?? from;
    const result = await joinOne(store, kind, other === null ? named : withId(kind, named, id), id);
    if (result !== 'same' && !('before' in result)) return { refused: result };
    const isCopy = other !== null && result !== 'same' && result.before === null;
    came.push({
      kind,
      id,
      title,
      ...(result === 'same'
        ? { how: 'same' }
        : isCopy
          ? { how: 'copied', from }
          : { how: 'joined', join: result }),
    });
  }
  return { came };
}

/**
 * The id of what goes together with nothing here any more, since what it names came in under other ids: a pair
 * of one phrase and the copy of another is not the pair that is here. Null where it still does.
 */
function otherNow(kind: AnyKind, value: unknown, named: unknown): string | null {
  const { joining } = kind;
  if (joining === undefined || joining.key(named) === joining.key(value)) return null;
  return besideId(
    { identityOf: (v) => kind.identityOf(v), withId: (v, id) => withId(kind, v, id) },
    named,
  );
}

function withId(kind: AnyKind, value: unknown, id: string): unknown {
  return kind.withIdentity(value, { ...kind.identityOf(value), id });
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
    const joined = there === null ? value : joinTo(kind, there.value, value);
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

/** What is there with what comes in. It keeps its id and what it was made from; what comes in may not say the latter. */
function joinTo(kind: AnyKind, there: unknown, value: unknown): unknown {
  const { id, parent } = kind.identityOf(there);
  const joined = kind.joining!.join(there, withId(kind, value, id));
  return kind.withIdentity(joined, { ...kind.identityOf(joined), parent });
}

/**
 * Id of what is there and goes together with what comes in: under its id, or, where another one has that by
 * now, the copy that was made when it came in before. Null where there is none.
 */
function thereFor(store: Store, kind: AnyKind, value: unknown): string | null {
  const { joining } = kind;
  if (joining === undefined) return null;
  const { id } = kind.identityOf(value);
  const has = store.of(kind).get(id);
  if (has === null) return null;
  const key = joining.key(value);
  if (joining.key(has.value) === key) return id;
  const isCopy = (v: unknown) => kind.identityOf(v).parent === id && joining.key(v) === key;
  return (
    store
      .of(kind)
      .all()
      .find((s) => isCopy(s.value))?.id ?? null
  );
}
