import { type IDBPTransaction, openDB, unwrap, wrap } from 'idb';
import type { AnyKind } from '../io/kinds/kind';
import { KINDS } from '../io/kinds/kinds';
import {
  type Backend,
  type BackendEvents,
  type KeptFront,
  type Looked,
  type NoteName,
  NotOpened,
  type Opened,
  type ReadFront,
  type Records,
  sequenceOf,
} from './backend';
import { CopyKeeper, type Safety } from './copy-keeper';
import { type Entry, type Head, type LogEnd, partOf, rowOf } from './head';
import { endOf, FEW, forgetHeads, readHeads, wholeMark } from './head-log';
import type { RawRecord, StoredRecord } from './record';
import {
  DATABASE,
  type Db,
  type LibraryDb,
  newestVersion,
  UPGRADES,
  type Upgrade,
  type UpgradeTransaction,
} from './schema';
import type { Mishap } from './types';

/** From so many keys on it is worth a look whether they follow one another. */
const MANY = 8;

type WriteTransaction = IDBPTransaction<LibraryDb, ('records' | 'meta' | 'heads')[], 'readwrite'>;

/**
 * Keeps records in the browser's database.
 * @param few So many are read as a whole on opening; of more, what the log of their heads says.
 */
export function idbBackend(
  name: string = DATABASE,
  upgrades: readonly Upgrade[] = UPGRADES,
  safety: Safety | null = null,
  few = FEW,
): Backend {
  return new IdbBackend(name, upgrades, safety, few);
}

class IdbBackend implements Backend {
  readonly lasting = true;
  private connection: Db | null = null;
  private keeper: CopyKeeper | null = null;
  /** Something may be missing in the log of heads. */
  gap = false;

  constructor(
    private readonly name: string,
    private readonly upgrades: readonly Upgrade[],
    private readonly safety: Safety | null,
    private readonly few: number,
  ) {}

  async open(events: BackendEvents): Promise<Opened> {
    let cause: unknown = null;
    let thrownAway = false;
    try {
      this.connection = await openDB<LibraryDb>(this.name, newestVersion(this.upgrades), {
        upgrade: (db, from, _to, tx, event) => {
          // Chromium's own word for having deleted a database that it could not read.
          thrownAway = 'dataLoss' in event && event.dataLoss === 'total';
          runUpgrades(this.upgrades.slice(from), from === 0, unwrap(db), unwrap(tx)).catch(
            (e: unknown) => {
              cause = e;
              tx.abort();
            },
          );
          ignoreRejection(tx.done);
        },
        blocked: () => events.blocked(),
        blocking: (_from, to) => (to === null ? events.deleted() : events.newer()),
        terminated: () => events.lost(),
      });
    } catch (e) {
      throw notOpened(cause ?? e);
    }
    this.keeper?.close();
    this.keeper =
      this.safety &&
      new CopyKeeper(
        this.safety,
        () => this.db(),
        (keys) => this.read(keys),
        {
          state: (state) => events.copy(state),
          restored: (phrases) => events.restored(phrases),
        },
      );
    const mishap: Mishap | null = thrownAway ? { kind: 'lost' } : null;
    if (this.keeper === null) return { mishap };
    const { keeper } = this;
    const compared = keeper.open().then((phrases): Looked => {
      return {
        mishap: phrases === null ? null : { kind: 'restored', phrases },
        again: phrases !== null || keeper.late,
      };
    });
    // Who has given the opening up does not wait for it.
    compared.catch(() => undefined);
    return { mishap, compared };
  }

  async keys(): Promise<readonly string[]> {
    return (await this.db().getAllKeys('records')).filter(isString);
  }

  async read(keys: readonly string[]): Promise<readonly RawRecord[]> {
    const found = (key: string, value: unknown): readonly RawRecord[] =>
      value === undefined ? [] : [{ key, value }];
    try {
      const values = await this.getAll(keys);
      return keys.flatMap((key, i) => found(key, values[i]));
    } catch {
      // One value that the browser cannot give fails all that were asked for with it.
      const each = await Promise.allSettled(keys.map((k) => this.getAll([k])));
      // That all fail alike says that there is no connection, not that all are damaged.
      this.db().transaction('records');
      return each.flatMap((r, i): readonly RawRecord[] => {
        const key = keys[i]!;
        return r.status === 'rejected'
          ? [{ key, unreadable: String(r.reason) }]
          : found(key, r.value[0]);
      });
    }
  }

  async heads(
    kinds: readonly AnyKind[],
    progress: (done: number, total: number) => void,
  ): Promise<readonly Head[] | null> {
    const log = await readHeads(this.db(), kinds, this.few, progress);
    this.gap = log?.gap ?? false;
    return log && [...log.known.values()];
  }

  async count(): Promise<number> {
    return this.db().count('records');
  }

  async looked(): Promise<unknown> {
    return this.db().get('meta', 'looked');
  }

  async noted(): Promise<ReadonlyMap<NoteName, unknown>> {
    return (await import('./noted-left')).readNoted(this.db());
  }

  async tidyHeads(): Promise<void> {
    await (await import('./tidy-heads')).tidyLog(() => this.db(), this.gap);
    this.gap = false;
  }

  async mendHeads(keys: readonly string[]): Promise<void> {
    await (await import('./build-heads')).mendHeads(this.db(), keys, KINDS);
  }

  forgetHeads(): Promise<void> {
    return forgetHeads(this.db());
  }

  async front(): Promise<ReadFront | null> {
    const some = await this.db().getAllKeys('records', undefined, this.few + 1);
    if (some.length <= this.few) return null;
    const { readFront } = await import('./front');
    return readFront(this.db(), this.name, this.keeper !== null);
  }

  async keepFront(front: KeptFront): Promise<void> {
    await (await import('./front')).writeFront(this.name, front);
  }

  logEnd(): Promise<LogEnd> {
    return endOf(this.db());
  }

  async deleted(from: LogEnd, to: LogEnd): Promise<readonly string[] | null> {
    const code = await import('./head-news').catch(() => null);
    return code?.deletedBetween(this.db(), from.row, to.row) ?? null;
  }

  async page(after: string | null, many: number): Promise<readonly RawRecord[]> {
    const later = after === null ? undefined : IDBKeyRange.lowerBound(after, true);
    const keys = await this.db().getAllKeys('records', later, many);
    return this.read(keys.filter(isString));
  }

  async since(revision: number): Promise<readonly string[]> {
    const later = IDBKeyRange.bound(revision, Number.MAX_SAFE_INTEGER, true);
    const keys = await this.db().getAllKeysFromIndex('records', 'revision', later);
    return keys.filter(isString);
  }

  async sequence(): Promise<number> {
    return sequenceOf(await this.db().get('meta', 'sequence'));
  }

  async write<T>(run: (records: Records) => Promise<T>): Promise<T> {
    const tx = this.db().transaction(['records', 'meta', 'heads'], 'readwrite', {
      durability: 'strict',
    });
    ignoreRejection(tx.done);
    const written: StoredRecord[] = [];
    const heads: Entry[] = [];
    let value: T;
    try {
      value = await run(recordsOf(tx, written, heads));
      // In the same transaction: what is known of a record never differs from the record.
      if (heads.length > 0) await tx.objectStore('heads').add(rowOf(heads));
    } catch (e) {
      await abort(tx);
      // A transaction that the browser ended says why; a request then only says that it ended.
      throw tx.error ?? e;
    }
    try {
      await tx.done;
    } catch (e) {
      throw tx.error ?? e;
    }
    await this.keeper?.copied(written);
    return value;
  }

  close(): void {
    this.keeper?.close();
    this.connection?.close();
    this.connection = null;
  }

  private db(): Db {
    if (this.connection === null) throw new DOMException('not connected', 'InvalidStateError');
    return this.connection;
  }

  private async getAll(keys: readonly string[]): Promise<readonly unknown[]> {
    const tx = this.db().transaction('records');
    ignoreRejection(tx.done);
    if (keys.length >= MANY && keys.every((k, i) => i === 0 || keys[i - 1]! < k)) {
      // Keys that follow one another are read in one go, in a fraction of the time.
      const range = IDBKeyRange.bound(keys[0]!, keys.at(-1)!);
      const there = await tx.store.getAllKeys(range, keys.length);
      if (keys.every((k, i) => there[i] === k)) return tx.store.getAll(range, keys.length);
    }
    return Promise.all(keys.map(async (k) => tx.store.get(k)));
  }
}

/**
 * @param written Gets every record that is put.
 * @param heads Gets what is then known of it.
 */
function recordsOf(tx: WriteTransaction, written: StoredRecord[], heads: Entry[]): Records {
  const records = tx.objectStore('records');
  const meta = tx.objectStore('meta');
  return {
    // All of them async: one that throws would leave those asked for before it unheard.
    get: async (key) => records.get(key),
    put: async (record, named) => {
      written.push(record);
      heads.push(partOf(record, named));
      await records.put(record);
    },
    amend: async (record, named) => {
      heads.push(partOf(record, named));
      await records.put(record);
    },
    delete: async (key) => {
      heads.push({ key, gone: true });
      await records.delete(key);
    },
    async lastRevision() {
      const numbers = IDBKeyRange.bound(0, Number.MAX_SAFE_INTEGER - 1);
      const last = await records.index('revision').openKeyCursor(numbers, 'prev');
      return last?.key ?? 0;
    },
    meta: async (name) => meta.get(name),
    setMeta: async (name, value) => {
      if (value === undefined) await meta.delete(name);
      else await meta.put(value, name);
    },
  };
}

async function runUpgrades(
  upgrades: readonly Upgrade[],
  fresh: boolean,
  db: IDBDatabase,
  tx: IDBTransaction,
): Promise<void> {
  // The transaction of an upgrade event; its class does not say so.
  const between = wrap(tx) as unknown as UpgradeTransaction;
  for (const u of upgrades) await u.upgrade(wrap(db), between);
  if (!fresh) return;
  await between.objectStore('meta').put(true, 'fresh');
  await between.objectStore('meta').put(wholeMark(KINDS), 'heads');
}

async function abort(tx: WriteTransaction): Promise<void> {
  try {
    tx.abort();
  } catch {
    // It has ended already, which is all that is wanted.
  }
  await tx.done.catch(() => undefined);
}

/** The same failure is reported by the request or by the one who waits for the end. */
function ignoreRejection(done: Promise<void>): void {
  done.catch(() => undefined);
}

function isString(key: IDBValidKey): key is string {
  return typeof key === 'string';
}

function notOpened(e: unknown): NotOpened {
  const name = e instanceof Error || e instanceof DOMException ? e.name : '';
  if (name === 'VersionError') {
    return new NotOpened('outdated', {
      message: 'the library was opened with a newer version of the program',
      fix: 'Reload this window, or close it and open the program again.',
    });
  }
  // No database at all, or one that this page may not use: private windows, storage switched off.
  // To ask for it can be refused as well, so the reason is looked at first.
  if (
    name === 'SecurityError' ||
    name === 'InvalidStateError' ||
    typeof indexedDB === 'undefined'
  ) {
    return new NotOpened('unavailable', {
      message: 'this browser keeps nothing for this page',
      fix: 'Leave the private window or allow the page to store data; until then, export what you want to keep.',
    });
  }
  return new NotOpened('failed', {
    message: `the library could not be opened (${String(e)})`,
    fix: 'Nothing was changed. Close other windows of this program, make room on the device, and try again.',
  });
}
