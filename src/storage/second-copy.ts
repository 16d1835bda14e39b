import { isRecord, type PhraseRecord } from './record';
import type { Revision } from './types';

/** A folder of small text files; a file is written as a whole or not at all. */
export interface Files {
  list(): Promise<readonly string[]>;
  read(name: string): Promise<string>;
  write(name: string, text: string): Promise<void>;
  remove(name: string): Promise<void>;
}

/** Records and the time of the samples, in ms since 1970, where it is known. */
export interface Copied {
  readonly records: readonly PhraseRecord[];
  readonly samples: number | null;
}

/** So many files are gathered into one when the library opens. */
const MANY = 200;

/**
 * A second copy of the library, apart from the database: one file for the records of each
 * transaction, written before the transaction is acknowledged.
 *
 * It is there because of what Chromium does when its process is killed in the middle of a write: the
 * next start goes on writing behind the torn piece of the database's log (LevelDB's reuse of logs),
 * the start after that finds the log corrupt and deletes every database of the page. Observed with
 * Chromium 156, once in some 150 kills during writes; `dataLoss` of the upgrade event says 'total'.
 *
 * The database stays the one that is read. A copy that cannot be written is given up for this
 * window, and costs nothing but the safety.
 */
export class SecondCopy {
  private broken = false;

  /** @param version Of the database whose records are copied; files of a later one are not read. */
  constructor(
    private readonly files: Files,
    private readonly version: number,
  ) {}

  /** The highest revision that is copied, 0 for none, null where the copy cannot be used. */
  async highest(): Promise<Revision | null> {
    const names = await this.attempt(() => this.files.list());
    if (names === null) return null;
    return Math.max(0, ...names.map((n) => spanOf(n)?.last ?? 0));
  }

  /** Everything that is copied, each record in its newest version. */
  async contents(): Promise<Copied> {
    const names = (await this.attempt(() => this.files.list())) ?? [];
    const newest = new Map<string, PhraseRecord>();
    let samples: number | null = null;
    for (const name of names.filter((n) => spanOf(n) !== null)) {
      const file = await this.readFile(name);
      samples ??= file.samples;
      for (const r of file.records) {
        if ((newest.get(r.id)?.revision ?? 0) < r.revision) newest.set(r.id, r);
      }
    }
    return { records: [...newest.values()], samples };
  }

  /** Copies what one transaction wrote. */
  async add({ records, samples }: Copied): Promise<void> {
    if (records.length === 0 || this.broken) return;
    const revisions = records.map((r) => r.revision);
    const name = `changes-${Math.min(...revisions)}-${Math.max(...revisions)}.json`;
    await this.attempt(() => this.files.write(name, this.textOf({ records, samples })));
  }

  /** Whether there are so many files that they should be gathered into one. */
  async isCrowded(): Promise<boolean> {
    const names = await this.attempt(() => this.files.list());
    return names !== null && names.length > MANY;
  }

  /** Puts one file with all records of the database in the place of the files up to `sequence`. */
  async gather(all: Copied, sequence: Revision): Promise<void> {
    await this.attempt(async () => {
      const kept = `all-${sequence}.json`;
      await this.files.write(kept, this.textOf(all));
      for (const name of await this.files.list()) {
        const span = spanOf(name);
        if (span !== null && span.last <= sequence && name !== kept) await this.files.remove(name);
      }
    });
  }

  private async readFile(name: string): Promise<Copied> {
    try {
      return this.copiedIn(JSON.parse(await this.files.read(name)));
    } catch {
      // The others may be whole, and this is the last place to look.
      return { records: [], samples: null };
    }
  }

  private copiedIn(value: unknown): Copied {
    // Whatever was parsed; each field is checked before it is used.
    const file = Object(value) as { readonly [K in keyof CopyFile]?: unknown };
    const known = typeof file.version === 'number' && file.version <= this.version;
    if (!known || !Array.isArray(file.records)) return { records: [], samples: null };
    const records = file.records.filter((r): r is PhraseRecord => isRecord(r, Object(r).id));
    return { records, samples: typeof file.samples === 'number' ? file.samples : null };
  }

  private textOf({ records, samples }: Copied): string {
    const file: CopyFile = { version: this.version, records, samples };
    return JSON.stringify(file);
  }

  /** Null where the folder fails; it is not tried again then, so that the copy has no gap inside. */
  private async attempt<T>(work: () => Promise<T>): Promise<T | null> {
    if (this.broken) return null;
    try {
      return await work();
    } catch {
      this.broken = true;
      return null;
    }
  }
}

interface CopyFile extends Copied {
  readonly version: number;
}

/** Which revisions a file holds, by its name; null for a file that is none of ours. */
function spanOf(name: string): { readonly last: Revision } | null {
  const found = /^(?:all|changes-\d+)-(\d+)\.json$/.exec(name);
  return found === null ? null : { last: Number(found[1]) };
}
