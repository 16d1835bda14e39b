import type { Phrase } from '../../core/phrase/types';
import { formatProblem, type Result } from '../../core/result';
import type { DecodedFile, ReadChoice } from '../../io/file/decode-file';
import type { AddResult, LibraryStore } from '../../storage/types';
import { refusalInWords } from '../shared/save-words';
import { capital } from '../shared/words';

/** A phrase that came in from a file. */
export interface CameIn {
  readonly id: string;
  readonly title: string;
  /** `same`: it was there already; `copied`: another phrase had its id, it has a new one. */
  readonly how: 'added' | 'same' | 'copied';
}

/** What became of one file. */
export type FileOutcome =
  | {
      readonly kind: 'in';
      readonly name: string;
      readonly phrases: readonly CameIn[];
      /** What is not just as it was written in the file. */
      readonly remarks: readonly string[];
    }
  /** Nothing of it came in: where and why, one each. */
  | { readonly kind: 'out'; readonly name: string; readonly reasons: readonly string[] };

export type ImportState =
  | { readonly kind: 'idle' }
  /** `name`: of the file being read; `done` of `total` files have been read. */
  | {
      readonly kind: 'reading';
      readonly name: string;
      readonly done: number;
      readonly total: number;
    }
  | { readonly kind: 'done'; readonly files: readonly FileOutcome[] };

/** What the importer needs of a file; a `File` has it. */
export interface FileToRead {
  readonly name: string;
}

/** Reads files, one after the other; can be stopped. */
export interface Reader<F extends FileToRead> {
  /** @param choice What of a score is read. */
  read(file: F, choice?: ReadChoice): Promise<Result<DecodedFile>>;
  /** Gives up what is being read. */
  stop(): void;
}

/** Brings phrases in from files. Each file comes in whole or not at all. */
export interface Importer<F extends FileToRead> {
  readonly subscribe: (changed: () => void) => () => void;
  readonly state: () => ImportState;
  /** Resolves when all is done; ignored while another import is going on. */
  readonly take: (files: readonly F[], choice?: ReadChoice) => Promise<void>;
  /** Reads one of the files of the last report again, by its place there, with a choice. */
  readonly again: (index: number, choice: ReadChoice) => Promise<void>;
  /** Stops reading; nothing has been written yet. */
  readonly stop: () => void;
  /** The report has been read. */
  readonly dismiss: () => void;
}

/** @param reader Made anew for every import. */
export function createImporter<F extends FileToRead>(
  store: Pick<LibraryStore, 'add'>,
  reader: () => Reader<F>,
): Importer<F> {
  let state: ImportState = { kind: 'idle' };
  let running: { readonly reader: Reader<F>; stopped: boolean } | null = null;
  let taken: readonly F[] = [];
  const listeners = new Set<() => void>();
  const set = (next: ImportState) => {
    state = next;
    for (const changed of listeners) changed();
  };
  const take = async (files: readonly F[], choice: ReadChoice = {}) => {
    if (running !== null || files.length === 0) return;
    taken = files;
    const run = { reader: reader(), stopped: false };
    running = run;
    try {
      const read: { readonly name: string; readonly result: Result<DecodedFile> }[] = [];
      for (const [done, file] of files.entries()) {
        set({ kind: 'reading', name: file.name, done, total: files.length });
        const result = await run.reader.read(file, choice);
        if (run.stopped) return;
        read.push({ name: file.name, result });
      }
      set({ kind: 'done', files: await bringIn(store, read) });
    } finally {
      run.reader.stop();
      running = null;
      if (run.stopped) set({ kind: 'idle' });
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

/** Writes everything that could be read in one go, and says what became of each file. */
async function bringIn(
  store: Pick<LibraryStore, 'add'>,
  files: readonly { readonly name: string; readonly result: Result<DecodedFile> }[],
): Promise<readonly FileOutcome[]> {
  const phrases = files.flatMap(({ result }) => (result.ok ? result.value.phrases : []));
  const added = phrases.length === 0 ? null : await store.add(phrases);
  let next = 0;
  return files.map(({ name, result }): FileOutcome => {
    if (!result.ok) {
      return { kind: 'out', name, reasons: result.problems.map((p) => capital(formatProblem(p))) };
    }
    const remarks = result.value.remarks.map(capital);
    const from = next;
    next += result.value.phrases.length;
    if (added !== null && added.kind !== 'saved') {
      return { kind: 'out', name, reasons: refusalInWords(added) };
    }
    return { kind: 'in', name, phrases: cameIn(result.value.phrases, added, from), remarks };
  });
}

function cameIn(
  phrases: readonly Phrase[],
  result: Extract<AddResult, { kind: 'saved' }> | null,
  from: number,
): readonly CameIn[] {
  return phrases.map((phrase, i) => {
    const added = result?.added[from + i];
    if (added === undefined) throw new RangeError('every phrase that was added is reported');
    return { id: added.stored.phrase.id, title: phrase.meta.title, how: added.kind };
  });
}

/** The ids of what is new in the library, for taking it out again. */
export function newIds(files: readonly FileOutcome[]): readonly string[] {
  return files.flatMap((f) =>
    f.kind === 'in' ? f.phrases.filter((p) => p.how !== 'same').map((p) => p.id) : [],
  );
}
