import { type DBSchema, type IDBPDatabase, openDB } from 'idb';

/**
 * A database beside the one of the library, for what may be lost: steps to undo, earlier versions. Where it
 * cannot be opened, or fails, nothing is kept; a full or broken disk is told by the library, which has the
 * music. Reads and writes come one after the other.
 */
export class SideDatabase<S extends DBSchema> {
  private connection: IDBPDatabase<S> | null = null;
  private last: Promise<unknown>;

  /** @param make Its stores, where it is new. */
  constructor(name: string, make: (fresh: IDBPDatabase<S>) => void) {
    this.last = this.open(name, make);
  }

  /** Runs something when all before it has ended; where it fails, or nothing is open, gives `otherwise`. */
  inTurn<T>(otherwise: T, run: (db: IDBPDatabase<S>) => Promise<T>): Promise<T> {
    const result = this.last.then(async () => {
      if (this.connection === null) return otherwise;
      try {
        return await run(this.connection);
      } catch {
        return otherwise;
      }
    });
    this.last = result;
    return result;
  }

  /** Resolves when all that was asked for has ended. */
  async idle(): Promise<void> {
    await this.last;
  }

  close(): void {
    this.connection?.close();
    this.connection = null;
  }

  private async open(name: string, make: (fresh: IDBPDatabase<S>) => void): Promise<void> {
    try {
      this.connection = await openDB<S>(name, 1, {
        upgrade: make,
        blocking: () => this.close(),
        terminated: () => {
          this.connection = null;
        },
      });
    } catch {
      // A browser that keeps nothing: what it holds lasts as long as the window.
    }
  }
}
