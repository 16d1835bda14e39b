import { type CheckedThing, readyFor, type Thing } from '../io/kinds/kind';
import type { Connection } from './connection';
import { type Invalid, prepare, prepareThings } from './prepare';
import { isRecord, keyOf, partsOf } from './record';
import { isRefusal } from './refusal';
import type {
  AddResult,
  Refusal,
  RemovedThing,
  Revision,
  Stored,
  ThingName,
  ThingStore,
  ThingsResult,
} from './types';
import {
  addItems,
  forgetRemoved,
  nameOf,
  type Prepared,
  removeRecords,
  restoreRecords,
  withdrawRecords,
} from './writes';

/** Things of any kinds, over the library's connection. */
export class Things implements ThingStore {
  constructor(private readonly connection: Connection) {}

  add(things: readonly Thing[]): Promise<AddResult<Stored<unknown>>> {
    return this.connection.track(this.checkAndAdd(things));
  }

  addChecked(
    things: readonly CheckedThing[],
    renamed?: ReadonlyMap<string, string>,
  ): Promise<AddResult<Stored<unknown>>> {
    const prepared = things.map(({ kind, value, text }): Prepared => {
      const { id } = kind.identityOf(value);
      return { kind, key: keyOf(kind, id), id, value, text };
    });
    return this.connection.track(this.addPrepared(prepared, renamed));
  }

  withdraw(added: readonly (ThingName & { readonly revision: Revision })[]): Promise<ThingsResult> {
    const records = added.map(({ kind, id, revision }) => ({ key: keyOf(kind, id), revision }));
    return this.named(this.connection.write((r) => withdrawRecords(r, records)));
  }

  remove(things: readonly ThingName[]): Promise<ThingsResult> {
    const { connection } = this;
    const keys = keysOf(things);
    return this.named(connection.write((r) => removeRecords(r, keys, connection.deps.now())));
  }

  restore(things: readonly ThingName[]): Promise<ThingsResult> {
    const keys = keysOf(things);
    const { connection } = this;
    const restored = readyFor(things.map((t) => t.kind)).then(() =>
      connection.write((r) => restoreRecords(r, keys)),
    );
    return this.named(connection.track(restored));
  }

  removed(): readonly RemovedThing[] {
    return this.connection.view.removed().flatMap(({ key, removed }) => {
      const thing = this.thingOf(key);
      return thing === null ? [] : [{ ...thing, removed }];
    });
  }

  async readRemoved(things: readonly ThingName[]): Promise<readonly (Thing | null)[]> {
    await readyFor(things.map((t) => t.kind));
    const raws = await this.connection.read(keysOf(things));
    const byKey = new Map(raws.map((raw) => [raw.key, raw]));
    return things.map(({ kind, id }) => {
      const key = keyOf(kind, id);
      const raw = byKey.get(key);
      const record = raw === undefined || 'unreadable' in raw ? null : raw.value;
      if (!isRecord(record, key) || record.removed === undefined) return null;
      const read = kind.decode(record.text);
      return read.ok ? { kind, value: read.value } : null;
    });
  }

  forget(things: readonly ThingName[]): Promise<ThingsResult> {
    const keys = keysOf(things);
    return this.named(this.connection.write((r) => forgetRemoved(r, keys)));
  }

  private thingOf(key: string): ThingName | null {
    const { name, id } = partsOf(key);
    const kind = this.connection.view.kinds.find((k) => k.name === name);
    return kind === undefined ? null : { kind, id };
  }

  private async checkAndAdd(things: readonly Thing[]): Promise<AddResult<Stored<unknown>>> {
    const prepared = await prepareThings(things);
    return 'kind' in prepared ? prepared : this.addPrepared(prepared);
  }

  private async addPrepared(
    prepared: readonly Prepared[],
    renamed?: ReadonlyMap<string, string>,
  ): Promise<AddResult<Stored<unknown>>> {
    const { connection } = this;
    // What has its id taken gets another and is checked again, in the transaction.
    await readyFor(prepared.map((p) => p.kind));
    const result = await connection.write((r) =>
      addItems(r, prepared, (p) => this.copyOf(p), referring, renamed),
    );
    if (isRefusal(result)) return result;
    connection.askToPersist();
    return { kind: 'saved', added: result.value };
  }

  private copyOf({ kind, value, id }: Prepared): Prepared {
    const copy = kind.withIdentity(value, {
      ...kind.identityOf(value),
      id: this.connection.deps.newId(),
      parent: id,
    });
    return valid(prepare(kind, copy));
  }

  private async named(
    written: Promise<{ readonly value: readonly string[] } | Refusal>,
  ): Promise<ThingsResult> {
    const result = await written;
    if (isRefusal(result)) return result;
    const things = result.value.flatMap((key) => this.thingOf(key) ?? []);
    return { kind: 'done', things };
  }
}

function keysOf(things: readonly ThingName[]): readonly string[] {
  return things.map(({ kind, id }) => keyOf(kind, id));
}

/** The same with the new ids of what it names. */
function referring(item: Prepared, renamed: ReadonlyMap<string, string>): Prepared {
  const { kind, value } = item;
  if (renamed.size === 0 || kind.withReferences === undefined) return item;
  const changed = kind.withReferences(value, (name, id) => renamed.get(nameOf(name, id)) ?? id);
  return valid(prepare(kind, changed));
}

function valid(prepared: Prepared | Invalid): Prepared {
  if ('problems' in prepared) throw new Error('a copy of a valid thing is valid');
  return prepared;
}
