import { isRecord, isRevision, type StoredRecord } from './record';
import type { Revision } from './types';

/** A folder of small text files; a file is written as a whole, or stays as it was. */
export interface Files {
  list(): Promise<readonly FileEntry[]>;
  read(name: string): Promise<string>;
  write(name: string, text: string): Promise<void>;
  remove(name: string): Promise<void>;
}

export interface FileEntry {
  readonly name: string;
  /** In bytes; 0 for a new file whose writing was begun and never ended. */
  readonly size: number;
}

/** Records and the time of the samples, in ms since 1970, where it is known. */
export interface Copied {
  readonly records: readonly StoredRecord[];
  readonly samples: number | null;
}

/** The revisions from `first` to `last`, both included. */
export interface Span {
  readonly first: Revision;
  readonly last: Revision;
}

/** So many files are gathered into one when the library opens. */
export const MANY = 200;

/**
 * A second copy of the library, apart from the database: one file for the records of each
 * transaction, written before the transaction is acknowledged.
 *
 * It is there because of what Chromium does when its process is killed in the middle of a write: the
 * next start goes on writing behind the torn piece of the database's log (LevelDB's reuse of logs),
 * the start after that finds the log corrupt and deletes every database of the page. Observed with
 * Chromium 156, once in some 150 kills during writes; `dataLoss` of the upgrade event says 'total'.
 *
 * The database stays the one that is read. A file's name says which revisions it covers: whatever
 * the database held of them when it was written. So what is missing can be told at the next opening:
 * a write whose file failed or was cut off costs nothing but the safety until then.
 */
export class SecondCopy {
  private unusable = false;
  /** Files of this window with one record only, by its id. */
  private readonly single = new Map<string, Revision>();

  /** @param version Of the database whose records are copied. */
  constructor(
    private readonly files: Files,
    private readonly version: number,
  ) {}

  /** What the files cover, in no order; null where the copy cannot be used. */
  async spans(): Promise<readonly Span[] | null> {
    const spans = await this.attempt(async () => (await this.whole()).map(([, span]) => span));
    return spans ?? this.leave();
  }

  /**
   * Everything that is copied, each record in its newest version. Null where the folder fails, or a
   * later version of the program wrote any of it: then this window leaves the copy alone.
   */
  async contents(): Promise<Copied | null> {
    const files = await this.attempt(() => this.whole());
    if (files === null) return this.leave();
    const newest = new Map<string, StoredRecord>();
    let samples: number | null = null;
    for (const [name] of files) {
      const file = await this.readFile(name);
      if (file === 'later') return this.leave();
      samples ??= file.samples;
      for (const r of file.records) {
        if ((newest.get(r.id)?.revision ?? 0) < r.revision) newest.set(r.id, r);
      }
    }
    return { records: [...newest.values()], samples };
  }

  /**
   * Copies records.
   * @param covers What the file then stands for; by default their revisions, as those of one
   * transaction are without a gap.
   * @returns whether they are copied.
   */
  async add(copied: Copied, covers: Span = spanOf(copied.records)): Promise<boolean> {
    const { records, samples } = copied;
    const [first] = records;
    if (first === undefined) return true;
    const done = await this.attempt(async () => {
      await this.files.write(nameOf(covers), this.textOf(copied));
      return true;
    });
    if (done === null) return false;
    if (covers.first === covers.last && samples === null) {
      await this.supersede(first);
    }
    return true;
  }

  /** Puts one file with all records of the database in the place of the files up to `sequence`. */
  async gather(all: Copied, sequence: Revision): Promise<void> {
    await this.attempt(async () => {
      const kept = `all-${sequence}.json`;
      await this.files.write(kept, this.textOf(all));
      for (const { name } of await this.files.list()) {
        const old = spanIn(name)?.last ?? Number.POSITIVE_INFINITY;
        // What a browser has written beside a file stays behind when it is killed. One that is as
        // old as this belongs to no window that is still writing.
        const left = spanIn(name.replace(/(?<=\.json)\..*$/, ''))?.last ?? Number.POSITIVE_INFINITY;
        if ((old <= sequence && name !== kept) || left <= sequence - MANY) {
          await this.files.remove(name);
        }
      }
    });
  }

  /** Of two files that hold the same phrase and nothing else, the older one goes. */
  private async supersede({ id, revision }: StoredRecord): Promise<void> {
    const other = this.single.get(id);
    this.single.set(id, Math.max(revision, other ?? 0));
    if (other === undefined) return;
    const old = Math.min(revision, other);
    await this.attempt(() => this.files.remove(nameOf({ first: old, last: old })));
  }

  private async whole(): Promise<readonly (readonly [string, Span])[]> {
    return (await this.files.list()).flatMap(({ name, size }) => {
      const span = size === 0 ? null : spanIn(name);
      return span === null ? [] : [[name, span] as const];
    });
  }

  private async readFile(name: string): Promise<Copied | 'later'> {
    try {
      return this.copiedIn(JSON.parse(await this.files.read(name)));
    } catch {
      // The others may be whole, and this is the last place to look.
      return { records: [], samples: null };
    }
  }

  private copiedIn(value: unknown): Copied | 'later' {
    // Whatever was parsed; each field is checked before it is used.
    const file = Object(value) as { readonly [K in keyof CopyFile]?: unknown };
    const known = typeof file.version === 'number';
    if (!known || !Array.isArray(file.records)) return { records: [], samples: null };
    if (Number(file.version) > this.version) return 'later';
    const records = file.records.filter((r): r is StoredRecord => isRecord(r, Object(r).id));
    return { records, samples: typeof file.samples === 'number' ? file.samples : null };
  }

  private textOf({ records, samples }: Copied): string {
    const file: CopyFile = { version: this.version, records, samples };
    return JSON.stringify(file);
  }

  /** Written to without a look at what is there, older files could be written over. */
  private leave(): null {
    this.unusable = true;
    return null;
  }

  /** Null where the folder fails. */
  private async attempt<T>(work: () => Promise<T>): Promise<T | null> {
    if (this.unusable) return null;
    try {
      return await work();
    } catch {
      return null;
    }
  }
}

interface CopyFile extends Copied {
  readonly version: number;
}

/** Which of the revisions from 1 to `last` are in none of the spans, in order. */
export function gapsIn(spans: readonly Span[], last: Revision): readonly Span[] {
  const gaps: Span[] = [];
  let next = 1;
  for (const s of [...spans, { first: last + 1, last }].sort((a, b) => a.first - b.first)) {
    if (s.first > next && next <= last)
      gaps.push({ first: next, last: Math.min(s.first - 1, last) });
    next = Math.max(next, s.last + 1);
  }
  return gaps;
}

function spanOf(records: readonly StoredRecord[]): Span {
  return records.reduce<Span>(
    ({ first, last }, r) => ({
      first: Math.min(first, r.revision),
      last: Math.max(last, r.revision),
    }),
    { first: Number.MAX_SAFE_INTEGER, last: 0 },
  );
}

const nameOf = ({ first, last }: Span) => `changes-${first}-${last}.json`;

/** Which revisions a file covers, by its name; null for a file that is none of ours. */
function spanIn(name: string): Span | null {
  const found = /^(?:all|changes-(\d+))-(\d+)\.json$/.exec(name);
  if (found === null) return null;
  const [first, last] = [Number(found[1] ?? 1), Number(found[2])];
  return isRevision(first) && isRevision(last) ? { first, last } : null;
}
