import type {
  CarriedLibrary,
  LibraryChange,
  LibraryEntry,
  ThingName,
} from '../../../io/folder/ports';
import { keyOf } from '../../../io/folder/ports';
import { type AnyKind, readyFor, type Thing } from '../../../io/kinds/kind';
import { partsOf } from '../../../storage/record';
import type { LibraryStore, Refusal, Revision, Stored } from '../../../storage/types';
import { refusalInWords } from '../../shared/save-words';

/** The library of this browser, for the folder that carries it. */
export function storeLibrary(store: LibraryStore): CarriedLibrary {
  /** What each thing was when it was read: it is changed only while it is that. */
  const read = new Map<string, { readonly value: unknown; readonly revision: Revision }>();
  const baseOf = (change: LibraryChange): Revision | null | undefined => {
    if (change.was === null)
      return store.of(change.kind).get(change.id) === null ? null : undefined;
    const known = read.get(keyOf(change));
    return known?.value === change.was ? known?.revision : undefined;
  };
  return {
    kinds: store.kinds,
    inBulk: (work) => store.inBulk(work),
    *entries(): Generator<LibraryEntry> {
      for (const kind of store.kinds) {
        for (const { id, identity, sum } of store.of(kind).all()) {
          yield { kind, id, title: identity.title, sum };
        }
      }
    },
    async load(names) {
      await readyFor(store.kinds);
      read.clear();
      const things: Thing[] = [];
      for (const [kind, ids] of byKind(names)) {
        for (const { id, value: kept, revision } of await store.of(kind).load(ids)) {
          // As it is written: what was just saved may have its fields in another order.
          const checked = kind.decode(kept);
          const value = checked.ok ? checked.value : kept;
          read.set(keyOf({ kind, id }), { value, revision });
          things.push({ kind, value });
        }
      }
      return things;
    },
    cannotRead({ kind, id }) {
      return store.snapshot().problems.some(({ key }) => {
        const of = partsOf(key);
        return of.name === kind.name && of.id === id;
      });
    },
    async take(changes) {
      const done = new Map<string, number | undefined>();
      const based = changes.flatMap((c) => {
        const base = baseOf(c);
        return base === undefined ? [] : [{ ...c, base }];
      });
      for (const [kind, some] of grouped(based)) {
        const written = some.filter((c) => c.value !== null);
        for (const stored of await save(store, kind, written)) {
          done.set(keyOf({ kind, id: stored.id }), stored.sum);
        }
        const gone = some.filter((c) => {
          return c.value === null && store.of(kind).get(c.id)?.revision === c.base;
        });
        if (gone.length === 0) continue;
        const result = await store.of(kind).remove(gone.map((c) => c.id));
        if (result.kind !== 'done') throw new Refused(result);
        for (const id of result.ids) done.set(keyOf({ kind, id }), undefined);
      }
      return done;
    },
  };
}

/** The library did not take it: full, or not open. */
export class Refused extends Error {
  constructor(refusal: Refusal) {
    // Without its last full stop, since it is told within a sentence.
    super(refusalInWords(refusal).join(' ').replace(/\.$/u, ''));
  }
}

interface Based extends LibraryChange {
  readonly base: Revision | null;
}

/** Saves what nobody has changed meanwhile. */
async function save(
  store: LibraryStore,
  kind: AnyKind,
  items: readonly Based[],
): Promise<readonly Stored<unknown>[]> {
  if (items.length === 0) return [];
  const records = store.of(kind);
  const all = await records.saveAll(items);
  if (all.kind === 'saved') return all.stored;
  if (all.kind !== 'conflicts') throw new Refused(all);
  const saved: Stored<unknown>[] = [];
  for (const { value, base } of items) {
    let one = await records.save(value, base);
    // What was removed here long ago comes back; what was removed since it was read does not.
    if (base === null && one.kind === 'conflict' && one.conflict.kind === 'removed') {
      one = await records.save(value, one.conflict.revision);
    }
    if (one.kind === 'saved') saved.push(one.stored);
    else if (one.kind !== 'conflict') throw new Refused(one);
  }
  return saved;
}

function byKind(names: readonly ThingName[]): Map<AnyKind, string[]> {
  const ids = [...grouped(names)].map(([kind, some]) => [kind, some.map((n) => n.id)] as const);
  return new Map(ids);
}

function grouped<T extends ThingName>(items: readonly T[]): Map<AnyKind, T[]> {
  const groups = new Map<AnyKind, T[]>();
  for (const item of items) groups.set(item.kind, [...(groups.get(item.kind) ?? []), item]);
  return groups;
}
