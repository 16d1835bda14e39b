import { isRecord, isRevision, type StoredRecord } from './record';
import type { Revision } from './types';

/** A folder of text files; a file is written as a whole, or stays as it was. */
export interface Files {
  list(): Promise<readonly FileEntry[]>;
  read(name: string): Promise<string>;
  /** @param pieces Of the text, in order; the page answers in between. */
  write(name: string, pieces: Iterable<string>): Promise<void>;
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

/** A file of the copy, as its name tells it. */
export interface CopyFile extends Span, FileEntry {
  /** How many records it holds; null where its name, of an older version, does not say. */
  readonly records: number | null;
}

/** Characters of a file, about: few enough to be written in a few milliseconds. */
export const FULL = 1024 * 1024;

/** So many files may lie there before small ones are put together. */
export const MANY = 200;
/** Characters of past versions that may lie there in any library. */
export const SLACK = 4 * FULL;

/**
 * A second copy of the library, apart from the database: the records of each transaction in files of
 * their own, written before the transaction is acknowledged.
 *
 * It is there because of what Chromium does when its process is killed in the middle of a write: the
 * next start goes on writing behind the torn piece of the database's log (LevelDB's reuse of logs),
 * the start after that finds the log corrupt and deletes every database of the page. Observed with
 * Chromium 156, once in some 150 kills during writes; `dataLoss` of the upgrade event says 'total'.
 *
 * The database stays the one that is read. A file's name says which revisions it covers: whatever
 * the database held of them when it was written. So what is missing can be told at any time, and a
 * range of revisions can be written anew in larger or smaller files without a word about the others.
 */
export class SecondCopy {
  /** Files of this window with one record only, by its key. */
  private readonly single = new Map<string, Revision>();
  /** Characters and files that were added since the folder was last looked at. */
  private added = { files: 0, size: 0 };
  /** Bytes that lay there then. */
  private listed = 0;

  /** @param version Of the database whose records are copied. */
  constructor(
    private readonly files: Files,
    private readonly version: number,
  ) {}

  /** What was added since the folder was last listed, and what lay there then, in bytes. */
  get growth(): { readonly files: number; readonly size: number; readonly before: number } {
    return { ...this.added, before: this.listed };
  }

  /**
   * The files that are whole, in the order of what they cover.
   * @throws what the folder throws.
   */
  async list(): Promise<readonly CopyFile[]> {
    const all = await this.files.list();
    this.added = { files: 0, size: 0 };
    this.listed = all.reduce((sum, f) => sum + f.size, 0);
    return all
      .flatMap((f) => (f.size === 0 ? [] : (fileIn(f) ?? [])))
      .sort((a, b) => a.first - b.first || a.last - b.last);
  }

  /**
   * What a file holds: nothing where it is damaged, since the others may be whole and this is the
   * last place to look. 'unreadable' where the folder does not give it, which may pass; 'later' where
   * a later version of the program wrote it: then this window leaves the copy alone.
   */
  async contents(name: string): Promise<Copied | 'unreadable' | 'later'> {
    let text: string;
    try {
      text = await this.files.read(name);
    } catch {
      return 'unreadable';
    }
    try {
      return this.copiedIn(JSON.parse(text));
    } catch {
      return { records: [], samples: null };
    }
  }

  /**
   * Copies records, in as many files as it takes.
   * @param covers What the files then stand for; by default their revisions, as those of one
   * transaction are without a gap.
   * @returns the names of the files.
   * @throws what the folder throws.
   */
  async add(copied: Copied, covers: Span = spanOf(copied.records)): Promise<readonly string[]> {
    const { samples } = copied;
    const pieces = piecesOf(copied.records, covers);
    const names: string[] = [];
    for (const { span, records } of pieces) {
      const name = nameOf(span, records.length);
      let size = 0;
      const counted = function* (pieces: Iterable<string>) {
        for (const piece of pieces) {
          size += piece.length;
          yield piece;
        }
      };
      await this.files.write(name, counted(this.textOf({ records, samples })));
      this.added = { files: this.added.files + 1, size: this.added.size + size };
      names.push(name);
    }
    const [only] = copied.records;
    if (only !== undefined && covers.first === covers.last && samples === null) {
      await this.supersede(only);
    }
    return names;
  }

  /** Takes files away that others stand for. What cannot be removed is only in the way. */
  async remove(names: readonly string[]): Promise<void> {
    for (const name of names) await this.files.remove(name).catch(() => undefined);
  }

  /**
   * Takes away what browsers leave beside a file whose writing was cut off, as far as it is so old
   * that no window is still writing it.
   */
  async sweep(before: Revision): Promise<void> {
    for (const { name } of await this.files.list()) {
      const whole = name.replace(/(?<=\.json)\..*$/u, '');
      const left = whole === name ? null : fileIn({ name: whole, size: 1 });
      if (left !== null && left.last <= before) await this.remove([name]);
    }
  }

  /** Of two files that hold the same thing and nothing else, the older one goes. */
  private async supersede({ id, revision }: StoredRecord): Promise<void> {
    const other = this.single.get(id);
    this.single.set(id, Math.max(revision, other ?? 0));
    if (other === undefined || other === revision) return;
    const old = Math.min(revision, other);
    await this.remove([nameOf({ first: old, last: old }, 1)]);
    this.added = { ...this.added, files: this.added.files - 1 };
  }

  private copiedIn(value: unknown): Copied | 'later' {
    // Whatever was parsed; each field is checked before it is used.
    const file = Object(value) as { readonly [K in keyof FileContent]?: unknown };
    const known = typeof file.version === 'number';
    if (!known || !Array.isArray(file.records)) return { records: [], samples: null };
    if (Number(file.version) > this.version) return 'later';
    const records = file.records.filter((r): r is StoredRecord => isRecord(r, Object(r).id));
    return { records, samples: typeof file.samples === 'number' ? file.samples : null };
  }

  /** JSON of `FileContent`, made a piece at a time. */
  private *textOf({ records, samples }: Copied): Generator<string, void> {
    let piece = `{"version":${this.version},"records":[`;
    for (const [i, record] of records.entries()) {
      piece += `${i === 0 ? '' : ','}${JSON.stringify(record)}`;
      if (piece.length < PIECE) continue;
      yield piece;
      piece = '';
    }
    yield `${piece}],"samples":${samples}}`;
  }
}

/** Characters of a file that are made and handed over at a time: a millisecond or two. */
const PIECE = 128 * 1024;

/** Characters of a record besides its text, about. */
const AROUND = 60;

interface FileContent extends Copied {
  readonly version: number;
}

interface Piece {
  readonly span: Span;
  readonly records: readonly StoredRecord[];
}

/** The records by revision, in pieces of a file each, which together cover all of `covers`. */
function piecesOf(records: readonly StoredRecord[], covers: Span): readonly Piece[] {
  const sorted = [...records].sort((a, b) => a.revision - b.revision);
  const pieces: Piece[] = [];
  let first = covers.first;
  let piece: StoredRecord[] = [];
  let size = 0;
  for (const [i, r] of sorted.entries()) {
    piece.push(r);
    size += r.text.length + AROUND;
    if (size < FULL || i === sorted.length - 1) continue;
    pieces.push({ span: { first, last: r.revision }, records: piece });
    first = r.revision + 1;
    piece = [];
    size = 0;
  }
  if (covers.last >= first) pieces.push({ span: { first, last: covers.last }, records: piece });
  return pieces;
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

const nameOf = ({ first, last }: Span, records: number) =>
  `changes-${first}-${last}-${records}.json`;

/**
 * A file by its name; null for one that is none of ours. `all-N` and names without a number of
 * records are of database versions before 3.
 */
function fileIn({ name, size }: FileEntry): CopyFile | null {
  const found = /^(?:all-(\d+)|changes-(\d+)-(\d+)(?:-(\d+))?)\.json$/u.exec(name);
  if (found === null) return null;
  const first = Number(found[2] ?? 1);
  const last = Number(found[1] ?? found[3]);
  const records = found[4] === undefined ? null : Number(found[4]);
  if (!isRevision(first) || !isRevision(last) || first > last) return null;
  return { name, size, first, last, records };
}
