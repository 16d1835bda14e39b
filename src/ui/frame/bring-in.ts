import type { Phrase } from '../../core/phrase/types';
import { formatProblem, type Result } from '../../core/result';
import type { DecodedFile } from '../../io/file/decode-file';
import type { Checked } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import type { Added, AddResult, LibraryStore, Stored } from '../../storage/types';
import { refusalInWords } from '../shared/save-words';
import { capital, count } from '../shared/words';

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

/** A library file that can be read twice: once to see whether it is right, once to bring it in. */
export interface LibraryFile {
  /**
   * Reads it from its first phrase to its last.
   * @param progress How many phrases were read, and how much of the file, from 0 to 1.
   * @returns how many phrases there are.
   */
  check(progress: (phrases: number, part: number) => void): Promise<Result<number>>;
  /** Gives its phrases, some at a time, until there are no more or `take` says that it is enough. */
  each(take: (phrases: readonly Checked<Phrase>[]) => Promise<boolean>): Promise<Result<number>>;
}

/** Phrases of a library file that are written in one transaction. */
const TOGETHER = 192;

interface Large {
  readonly name: string;
  readonly file: LibraryFile;
  /** How many phrases were found when it was checked. */
  readonly phrases: number;
}

/**
 * Brings a library in that was found to be right, so many phrases in a transaction. Where one is
 * refused, all that came in before is taken back; where it is stopped, what has come in stays, and
 * is told.
 */
export async function bringLibraryIn(
  store: LibraryStore,
  { name, file, phrases }: Large,
  progress: (done: number) => void,
  stopped: () => boolean,
): Promise<FileOutcome> {
  const all = store.of(PHRASES);
  const came: CameIn[] = [];
  const added: Stored<Phrase>[] = [];
  let refused: Exclude<AddResult, { kind: 'saved' }> | null = null;
  let waiting: Checked<Phrase>[] = [];
  const write = async () => {
    const result = await all.addChecked(waiting);
    if (result.kind !== 'saved') {
      refused = result;
      return;
    }
    result.added.forEach((a, i) => {
      came.push(cameIn(waiting[i]!.value, a.stored.value.id, a));
      if (a.kind !== 'same') added.push(a.stored);
    });
    waiting = [];
    progress(came.length);
  };
  const read = await store.inBulk(async () => {
    const end = await file.each(async (some) => {
      waiting.push(...some);
      if (waiting.length >= TOGETHER) await write();
      return refused === null && !stopped();
    });
    if (end.ok && refused === null && waiting.length > 0 && !stopped()) await write();
    if (refused !== null || !(end.ok || stopped())) await takeBack();
    return end;
  });
  const left: string[] = [];
  async function takeBack(): Promise<void> {
    for (let at = 0; at < added.length; at += TOGETHER) {
      const gone = await all.withdraw(added.slice(at, at + TOGETHER));
      if (gone.kind === 'done') continue;
      left.push(
        `What had come in could not be taken back: ${count(added.length - at, 'phrase')} of the file may be in the library.`,
      );
      return;
    }
  }
  if (refused !== null)
    return { kind: 'out', name, reasons: [...refusalInWords(refused), ...left] };
  if (!read.ok && !stopped()) {
    const reasons = read.problems.map((p) => capital(formatProblem(p)));
    return { kind: 'out', name, reasons: [...reasons, ...left] };
  }
  const remarks =
    came.length < phrases
      ? [
          `You stopped: ${count(came.length, 'phrase')} of ${phrases} came in, the others did not. Bring the file in again for the rest.`,
        ]
      : [];
  return { kind: 'in', name, phrases: came, remarks };
}

/** Writes everything that could be read in one go, and says what became of each file. */
export async function bringIn(
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
    const came = result.value.phrases.map((phrase, i) => {
      const one = added?.added[from + i];
      if (one === undefined) throw new RangeError('every phrase that was added is reported');
      return cameIn(phrase, one.stored.phrase.id, one);
    });
    return { kind: 'in', name, phrases: came, remarks };
  });
}

function cameIn(phrase: Phrase, id: string, { kind }: Pick<Added, 'kind'>): CameIn {
  return { id, title: phrase.meta.title, how: kind };
}
