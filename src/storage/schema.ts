import { type DBSchema, type IDBPDatabase, type IDBPTransaction, unwrap } from 'idb';
import type { MetaName } from './backend';

export const DATABASE = 'degreewise';

/** The database in its newest version. Values are unknown: they are checked when they are read. */
export interface LibraryDb extends DBSchema {
  records: { key: IDBValidKey; value: unknown; indexes: { revision: number } };
  meta: { key: MetaName; value: unknown };
  /** Rows of `head.ts`, in the order in which they were written. */
  heads: { key: number; value: string };
}

export type Db = IDBPDatabase<LibraryDb>;

/** A database between two versions: its stores are those of no version in particular. */
export type DbBetween = IDBPDatabase<unknown>;
export type UpgradeTransaction = IDBPTransaction<unknown, string[], 'versionchange'>;

/** One step from the version before `to` to `to`. A step brings a frozen file in tests/migrations. */
export interface Upgrade {
  readonly to: number;
  /** What changed, for the reader of the code. */
  readonly change: string;
  /** Runs inside the upgrading transaction, and awaits nothing but requests of it. */
  upgrade(db: DbBetween, tx: UpgradeTransaction): void | Promise<void>;
}

/**
 * Every version of the database. A new version of the phrase format brings one too, even where the
 * stores stay as they are: it is what keeps older windows from writing the old format.
 */
export const UPGRADES: readonly Upgrade[] = [
  {
    to: 1,
    change: 'phrases by id, with an index that tells what was written since; single values',
    upgrade(db) {
      db.createObjectStore('phrases', { keyPath: 'id' }).createIndex('revision', 'revision');
      db.createObjectStore('meta');
    },
  },
  {
    to: 2,
    change: 'phrases of format 2; the stores stay as they are',
    upgrade() {},
  },
  {
    to: 3,
    change: 'records of any kind where phrases were; keys and values stay as they are',
    upgrade(_, tx) {
      // Renamed where it stands: nothing is copied, however large the library is.
      unwrap(tx).objectStore('phrases').name = 'records';
    },
  },
  {
    to: 4,
    change: 'what is known of a record without its text, in a log beside the records',
    upgrade(db) {
      // Empty: it is written from the records in pieces, which a kill in between does not undo.
      db.createObjectStore('heads', { autoIncrement: true });
    },
  },
];

/**
 * The version that the steps lead to.
 * @throws RangeError on a gap, so that a forgotten step is found when the program starts.
 */
export function newestVersion(upgrades: readonly Upgrade[]): number {
  upgrades.forEach((u, i) => {
    if (u.to !== i + 1) throw new RangeError(`step ${i + 1} makes version ${u.to}, not ${i + 1}`);
  });
  return upgrades.length;
}
