import { type AnyKind, type Checked, check, type Kind } from '../io/kinds/kind';
import { type Connection, isRefusal } from './connection';
import { inSlices } from './pieces';
import { keyOf, partsOf } from './record';
import type {
  Added,
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
import {
  addItems,
  areConflicts,
  type Prepared,
  removeRecords,
  restoreRecords,
  saveItems,
  withdrawRecords,
} from './writes';

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
    return this.connection.track(this.checkAndAdd(values));
  }

  addChecked(items: readonly Checked<T>[]): Promise<AddResult<Stored<T>>> {
    const prepared = items.map(({ value, text }): Prepared => {
      const { id } = this.kind.identityOf(value);
      return { kind: this.kind, key: keyOf(this.kind, id), id, value, text };
    });
    return this.connection.track(this.addPrepared(prepared));
  }

  withdraw(added: readonly Stored<T>[]): Promise<RemoveResult> {
    const records = added.map(({ value, revision }) => {
      return { key: keyOf(this.kind, this.kind.identityOf(value).id), revision };
    });
    return done(this.connection.write((r) => withdrawRecords(r, records)));
  }

  remove(ids: readonly string[]): Promise<RemoveResult> {
    const { connection } = this;
    const keys = ids.map((id) => keyOf(this.kind, id));
    return done(connection.write((r) => removeRecords(r, keys, connection.deps.now())));
  }

  restore(ids: readonly string[]): Promise<RemoveResult> {
    const keys = ids.map((id) => keyOf(this.kind, id));
    return done(this.connection.write((r) => restoreRecords(r, keys)));
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
    const prepared = await prepareAll(this.kind, values);
    return 'kind' in prepared ? prepared : this.addPrepared(prepared);
  }

  private async addPrepared(prepared: readonly Prepared[]): Promise<AddResult<Stored<T>>> {
    const { connection } = this;
    const result = await connection.write((r) => addItems(r, prepared, (p) => this.copyOf(p)));
    if (isRefusal(result)) return result;
    connection.askToPersist();
    return { kind: 'saved', added: result.value as readonly Added<Stored<T>>[] };
  }

  private copyOf({ kind, value, id }: Prepared): Prepared {
    const copy = kind.withIdentity(value, {
      ...kind.identityOf(value),
      id: this.connection.deps.newId(),
      parent: id,
    });
    const prepared = prepare(kind, copy);
    if ('kind' in prepared && 'problems' in prepared) {
      throw new Error('a copy of a valid thing is valid');
    }
    return prepared;
  }
}

type Invalid = Extract<Refusal, { kind: 'invalid' }>;

/** Checks one before a transaction begins. */
function prepare(kind: AnyKind, value: unknown): Prepared | Invalid {
  const { id } = kind.identityOf(value);
  const checked = check(kind, value);
  if (!checked.ok) return { kind: 'invalid', id, problems: checked.problems };
  return { kind, key: keyOf(kind, id), id, value, text: checked.value.text };
}

/** Checks all before a transaction begins. */
export async function prepareAll(
  kind: AnyKind,
  values: readonly unknown[],
): Promise<readonly Prepared[] | Invalid> {
  const prepared = await inSlices(values, (value) => prepare(kind, value));
  const bad = prepared.find((p) => 'problems' in p);
  // One that is not invalid is prepared.
  return bad === undefined ? (prepared as Prepared[]) : (bad as Invalid);
}

/** What came of a removal or its contrary, by the ids of what was there. */
async function done(
  written: Promise<{ readonly value: readonly string[] } | Refusal>,
): Promise<RemoveResult> {
  const result = await written;
  if (isRefusal(result)) return result;
  return { kind: 'done', ids: result.value.map((key) => partsOf(key).id) };
}
