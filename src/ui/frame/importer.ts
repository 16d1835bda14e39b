import type { Result } from '../../core/result';
import type { DecodedFile, ReadChoice } from '../../io/file/decode-file';
import type { LibraryStore } from '../../storage/types';
import {
  bringIn,
  bringLibraryIn,
  type CameIn,
  type FileOutcome,
  type LibraryFile,
} from './bring-in';

export type { CameIn, FileOutcome, LibraryFile } from './bring-in';

export type ImportState =
  | { readonly kind: 'idle' }
  /** `name`: of the file being read; `done` of `total` files have been read. */
  | {
      readonly kind: 'reading';
      readonly name: string;
      readonly done: number;
      readonly total: number;
      /** Of a library: whether it is still being checked, and how far it has come. */
      readonly library: LibraryProgress | null;
    }
  | { readonly kind: 'done'; readonly files: readonly FileOutcome[] };

export interface LibraryProgress {
  readonly doing: 'checking' | 'bringing in';
  readonly entries: number;
  /** From 0 to 1. */
  readonly part: number;
}

/** What the importer needs of a file; a `File` has it. */
export interface FileToRead {
  readonly name: string;
}

/** Reads files, one after the other; can be stopped. */
export interface Reader<F extends FileToRead> {
  /** @param choice What of a score is read. */
  read(file: F, choice?: ReadChoice): Promise<Result<DecodedFile>>;
  /** The file as a library, to be read in pieces; null where it is none. */
  library?(file: F): Promise<LibraryFile | null>;
  /** Gives up what is being read. */
  stop(): void;
}

/** Brings phrases in from files. Each file comes in whole or not at all, unless it is stopped. */
export interface Importer<F extends FileToRead> {
  readonly subscribe: (changed: () => void) => () => void;
  readonly state: () => ImportState;
  /** Resolves when all is done; ignored while another import is going on. */
  readonly take: (files: readonly F[], choice?: ReadChoice) => Promise<void>;
  /** Reads one of the files of the last report again, by its place there, with a choice. */
  readonly again: (index: number, choice: ReadChoice) => Promise<void>;
  /**
   * Stops. Nothing has been written yet, unless a library is being brought in: then what has come in
   * stays, and the report says so.
   */
  readonly stop: () => void;
  /** The report has been read. */
  readonly dismiss: () => void;
}

interface Run<F extends FileToRead> {
  readonly reader: Reader<F>;
  stopped: boolean;
}

/** A file that was read, or a library that was checked. */
type Found =
  | { readonly name: string; readonly result: Result<DecodedFile> }
  | { readonly name: string; readonly file: LibraryFile; readonly entries: number };

/** @param reader Made anew for every import. */
export function createImporter<F extends FileToRead>(
  store: LibraryStore,
  reader: () => Reader<F>,
): Importer<F> {
  let state: ImportState = { kind: 'idle' };
  let running: Run<F> | null = null;
  let taken: readonly F[] = [];
  const listeners = new Set<() => void>();
  const set = (next: ImportState) => {
    state = next;
    for (const changed of listeners) changed();
  };
  const take = async (files: readonly F[], choice: ReadChoice = {}) => {
    if (running !== null || files.length === 0) return;
    taken = files;
    const run: Run<F> = { reader: reader(), stopped: false };
    running = run;
    try {
      const found = await readAll(run, files, choice, set);
      set(
        found === null
          ? { kind: 'idle' }
          : { kind: 'done', files: await writeAll(run, found, store, set) },
      );
    } catch (e) {
      set({ kind: 'idle' });
      throw e;
    } finally {
      run.reader.stop();
      running = null;
    }
  };
  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    state: () => state,
    take,
    again: async (index, choice) => {
      const file = taken[index];
      if (file !== undefined) await take([file], choice);
    },
    stop: () => {
      if (running === null) return;
      running.stopped = true;
      running.reader.stop();
    },
    dismiss: () => set({ kind: 'idle' }),
  };
}

/** Everything is read before anything is written. @returns null where it was stopped. */
async function readAll<F extends FileToRead>(
  run: Run<F>,
  files: readonly F[],
  choice: ReadChoice,
  set: (next: ImportState) => void,
): Promise<readonly Found[] | null> {
  const found: Found[] = [];
  for (const [done, file] of files.entries()) {
    const reading = { kind: 'reading', name: file.name, done, total: files.length } as const;
    set({ ...reading, library: null });
    const library = run.reader.library === undefined ? null : await run.reader.library(file);
    if (run.stopped) return null;
    if (library === null) {
      found.push({ name: file.name, result: await run.reader.read(file, choice) });
    } else {
      const checked = await library.check((entries, part) =>
        set({ ...reading, library: { doing: 'checking', entries, part } }),
      );
      const { name } = file;
      if (checked.ok) found.push({ name, file: library, entries: checked.value });
      else found.push({ name, result: checked });
    }
    if (run.stopped) return null;
  }
  return found;
}

/** Lays in what was read, libraries piece by piece. */
async function writeAll<F extends FileToRead>(
  run: Run<F>,
  found: readonly Found[],
  store: LibraryStore,
  set: (next: ImportState) => void,
): Promise<readonly FileOutcome[]> {
  // A first visit has the button before the library is open.
  await store.opened();
  const small = found.flatMap((f) => ('result' in f ? [f] : []));
  const brought = (await bringIn(store, small)).values();
  const outcomes: FileOutcome[] = [];
  for (const [done, f] of found.entries()) {
    if ('result' in f) {
      outcomes.push(brought.next().value!);
      continue;
    }
    const reading = { kind: 'reading', name: f.name, done, total: found.length } as const;
    const progress = (entries: number) => {
      const part = entries / Math.max(1, f.entries);
      set({ ...reading, library: { doing: 'bringing in', entries, part } });
    };
    progress(0);
    outcomes.push(await bringLibraryIn(store, f, progress, () => run.stopped));
  }
  return outcomes;
}

/** What is new in the library, for taking it out again. */
export function newThings(files: readonly FileOutcome[]): readonly CameIn[] {
  return files.flatMap((f) =>
    f.kind === 'in'
      ? [...f.phrases, ...f.others].filter((p) => p.how === 'added' || p.how === 'copied')
      : [],
  );
}
