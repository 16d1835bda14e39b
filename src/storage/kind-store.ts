import { type Checked, type Kind, readyFor } from '../io/kinds/kind';
import type { Connection } from './connection';
import { prepareAll } from './prepare';
import type { Held } from './reader';
import { keyOf, partsOf } from './record';
import { isRefusal } from './refusal';
import { Things } from './things';
import type {
  AddResult,
  Conflict,
  KindItem,
  KindStore,
  Refusal,
  RemoveResult,
  Revision,
  SaveAllResult,
  SaveResult,
  Stored,
} from './types';
import { areConflicts, removeRecords, restoreRecords, saveItems, withdrawRecords } from './writes';

/** Everything of one kind, over the library's connection. */
export class KindRecords<T> implements KindStore<T> {
  constructor(
    readonly kind: Kind<T>,
    private readonly connection: Connection,
  ) {}

  all(): readonly Stored<T>[] {
    return this.connection.view.list(this.kind);
  }

  get(id: string): Stored<T> | null {
    return this.connection.view.get(this.kind, id);
  }

  inGroup(group: string): readonly Stored<T>[] {
    return this.connection.view.group(this.kind, group);
  }

  async *texts(ids: readonly string[]): AsyncGenerator<readonly string[], void> {
    // Only its own things are looked at with it.
    const kind = this.kind as Kind<unknown>;
    yield* (await import('./texts')).textsOf(this.connection, kind, ids);
  }

  async load(ids: readonly string[]): Promise<readonly Stored<T>[]> {
    const { connection, kind } = this;
    const values = new Map(await connection.loadKeys(ids.map((id) => keyOf(kind, id))));
    // What another window wrote meanwhile may not be at hand.
    const newer = ids.filter((id) => this.get(id) !== null && this.heldOf(id, values) === null);
    const again = await connection.loadKeys(newer.map((id) => keyOf(kind, id)));
    for (const [key, one] of again) values.set(key, one);
    return ids.flatMap((id) => this.heldOf(id, values) ?? []);
  }

  /** Its own copy: what is at hand in the library may be gone when it is looked at. */
  private heldOf(id: string, values: Held): Stored<T> | null {
    const stored = this.get(id);
    const held = values.get(keyOf(this.kind, id));
    // The same number stands for the same value, which was decoded by this kind.
    const read = held?.sum === stored?.sum ? (held?.value as T | undefined) : undefined;
    const value = stored?.peek() ?? read ?? null;
    return stored === null || value === null
      ? null
      : { ...about(stored), value, peek: () => value };
  }

  async save(value: T, base: Revision | null): Promise<SaveResult<Stored<T>>> {
    const result = await this.saveAll([{ value, base }]);
    if (result.kind === 'saved') return { kind: 'saved', stored: result.stored[0]! };
    if (result.kind === 'conflicts') return { kind: 'conflict', conflict: result.conflicts[0]! };
    return result;
  }

  saveAll(items: readonly KindItem<T>[]): Promise<SaveAllResult<Stored<T>>> {
    const ids = new Set(items.map((i) => this.kind.identityOf(i.value).id));
    if (ids.size < items.length) {
      throw new RangeError(`one ${this.kind.name} cannot be saved twice in one transaction`);
    }
    return this.connection.track(this.checkAndSave(items));
  }

  add(values: readonly T[]): Promise<AddResult<Stored<T>>> {
    return this.checkAndAdd(values);
  }

  addChecked(items: readonly Checked<T>[]): Promise<AddResult<Stored<T>>> {
    const things = items.map(({ value, text }) => ({ kind: this.kind, value, text }));
    // What comes back is what was given.
    return new Things(this.connection).addChecked(things) as Promise<AddResult<Stored<T>>>;
  }

  withdraw(added: readonly Stored<T>[]): Promise<RemoveResult> {
    const records = added.map(({ id, revision }) => ({ key: keyOf(this.kind, id), revision }));
    return done(this.connection.write((r) => withdrawRecords(r, records)));
  }

  remove(ids: readonly string[]): Promise<RemoveResult> {
    const { connection } = this;
    const keys = ids.map((id) => keyOf(this.kind, id));
    return done(connection.write((r) => removeRecords(r, keys, connection.deps.now())));
  }

  restore(ids: readonly string[]): Promise<RemoveResult> {
    const keys = ids.map((id) => keyOf(this.kind, id));
    const { connection } = this;
    const restored = readyFor([this.kind]).then(() =>
      connection.write((r) => restoreRecords(r, keys)),
    );
    return done(connection.track(restored));
  }

  private async checkAndSave(items: readonly KindItem<T>[]): Promise<SaveAllResult<Stored<T>>> {
    const { connection } = this;
    const prepared = await prepareAll(
      this.kind,
      items.map((i) => i.value),
    );
    if ('kind' in prepared) return prepared;
    const saves = prepared.map((p, i) => {
      return { ...p, base: items[i]!.base, known: this.get(p.id)?.revision ?? null };
    });
    const result = await connection.write((r) => saveItems(r, saves));
    if (isRefusal(result)) return result;
    const { value } = result;
    if (areConflicts(value)) {
      // The page is to show what stands in the way before it hears of it.
      await connection.refresh();
      return { kind: 'conflicts', conflicts: value as readonly Conflict<Stored<T>>[] };
    }
    connection.askToPersist();
    return { kind: 'saved', stored: value as readonly Stored<T>[] };
  }

  private async checkAndAdd(values: readonly T[]): Promise<AddResult<Stored<T>>> {
    const things = values.map((value) => ({ kind: this.kind, value }));
    // What comes back is what was given.
    return (await new Things(this.connection).add(things)) as AddResult<Stored<T>>;
  }
}

function about<T>({ id, identity, group, sum, revision, sample }: Stored<T>) {
  return { id, identity, group, sum, revision, sample };
}

/** What came of a removal or its contrary, by the ids of what was there. */
async function done(
  written: Promise<{ readonly value: readonly string[] } | Refusal>,
): Promise<RemoveResult> {
  const result = await written;
  if (isRefusal(result)) return result;
  return { kind: 'done', ids: result.value.map((key) => partsOf(key).id) };
}
