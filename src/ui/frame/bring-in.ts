import { isLong } from '../../core/edit/cut';
import type { Phrase } from '../../core/phrase/types';
import { formatProblem, type Result } from '../../core/result';
import type { DecodedFile } from '../../io/file/decode-file';
import type { CheckedThing, Thing } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import type { Added, AddResult, LibraryStore, Revision, ThingName } from '../../storage/types';
import { countOf } from '../shared/count-of';
import { refusalInWords } from '../shared/save-words';
import { capital } from '../shared/words';
import { BesideIn, libraryOf } from './beside-in';
import { followSources, type Naming, namingOf } from './follow-sources';
import { apartFrom, type Join, joinAll } from './join-things';
import { knownHere } from './known-here';

/** Something that came in from a file. */
export interface CameIn extends ThingName {
  readonly title: string;
  /**
   * `same`: it was there already; `copied`: another one had its id, it has a new one; `joined`: the one
   * that was there has what it lacked; `older`: the one that is here was made of it, and stays.
   */
  readonly how: 'added' | 'same' | 'copied' | 'joined' | 'older';
  /** How it was put together with what was there. */
  readonly join?: Join;
  /** Id of the one that had its id. */
  readonly from?: string;
  /** A phrase so long that somebody may want it cut. */
  readonly long?: true;
}

/** What became of one file. */
export type FileOutcome =
  | {
      readonly kind: 'in';
      readonly name: string;
      readonly phrases: readonly CameIn[];
      /** Of other kinds. */
      readonly others: readonly CameIn[];
      /** Earlier versions of phrases that are new here. */
      readonly versions: number;
      /** What is not just as it was written in the file. */
      readonly remarks: readonly string[];
    }
  /** Nothing of it came in: where and why, one each. */
  | {
      readonly kind: 'out';
      readonly name: string;
      readonly reasons: readonly string[];
      /** It is no file of any kind that is read. */
      readonly foreign?: true;
    };

/** A library file that can be read twice: once to see whether it is right, once to bring it in. */
export interface LibraryFile {
  /**
   * Reads it from its first entry to its last.
   * @param progress How many entries were read, and how much of the file, from 0 to 1.
   * @returns how many entries there are.
   */
  check(progress: (entries: number, part: number) => void): Promise<Result<number>>;
  /** Gives its entries, some at a time, until there are no more or `take` says that it is enough. */
  each(take: (entries: readonly CheckedThing[]) => Promise<boolean>): Promise<Result<number>>;
}

/** Entries of a library file that are written in one transaction. */
const TOGETHER = 192;

interface Large {
  readonly name: string;
  readonly file: LibraryFile;
  /** How many entries were found when it was checked. */
  readonly entries: number;
}

/**
 * Brings a library in that was found to be right, so many entries in a transaction. Where one is
 * refused, all that came in before is taken back; where it is stopped, what has come in stays, and
 * is told.
 */
export async function bringLibraryIn(
  store: LibraryStore,
  { name, file, entries: all }: Large,
  progress: (done: number) => void,
  stopped: () => boolean,
): Promise<FileOutcome> {
  const came: CameIn[] = [];
  const added: Written[] = [];
  /** What could not be taken back, where it had to be. */
  let left: readonly string[] = [];
  const renamed = new Map<string, string>();
  const naming: Naming[] = [];
  const unnamed: string[] = [];
  /** To be put together with what is there. */
  const joins: CheckedThing[] = [];
  let refused: Exclude<AddResult, { kind: 'saved' }> | null = null;
  const beside = new BesideIn(store);
  let waiting: CheckedThing[] = [];
  /** While it goes on the file is read. */
  let writing = Promise.resolve();
  const write = async () => {
    const taken = waiting;
    const others = libraryOf(taken);
    const { entries: all, joins: some } = apartFrom(store, inOrder(store, others));
    joins.push(...some);
    waiting = [];
    const { entries, inFile, here } = await knownHere(store, all, renamed);
    came.push(...here.values());
    const result: AddResult<{ readonly id: string; readonly revision: Revision }> =
      entries.length === 0
        ? { kind: 'saved', added: [] }
        : await store.things.addChecked(entries, renamed);
    refused = result.kind === 'saved' ? null : result;
    if (result.kind !== 'saved') return;
    entries.forEach((entry, i) => {
      const a = result.added[i]!;
      const { kind } = entry;
      const given = inFile.get(entry) ?? entry;
      const one = cameIn(given, entry, a);
      came.push(one);
      if (a.kind === 'copied') renamed.set(`${kind.name} ${a.from}`, one.id);
      naming.push(...namingOf(given, one));
      if (a.kind !== 'same') added.push({ kind, id: one.id, revision: a.stored.revision });
    });
    // Their phrases stand before them, so that it is known under which ids these came in.
    await beside.from(taken, renamed);
    progress(came.length + joins.length + beside.seen);
  };
  const read = await store.inBulk(async () => {
    const end = await file.each(async (some) => {
      waiting.push(...some);
      if (waiting.length >= TOGETHER) {
        // Two at a time would not know each other's new ids.
        await writing;
        if (refused === null && !stopped()) writing = write();
      }
      return refused === null && !stopped();
    });
    await writing;
    if (end.ok && refused === null && waiting.length > 0 && !stopped()) await write();
    // Last, since what was put together is not taken apart again where something is refused.
    if (refused === null && (end.ok || stopped())) {
      const joined = await joinAll(store, joins, renamed);
      if ('refused' in joined) refused = joined.refused;
      else {
        came.push(...joined.came);
        unnamed.push(...(await followSources(store, naming, renamed)));
      }
    }
    if (refused !== null || !(end.ok || stopped()))
      left = [...(await beside.takeBack()), ...(await takeBack(store, added))];
    return end;
  });
  const because =
    refused === null ? (stopped() ? null : problemsIn(read)) : refusalInWords(refused);
  if (because !== null) return { kind: 'out', name, reasons: [...because, ...left] };
  return {
    ...{ kind: 'in', name, ...byKind(came), versions: beside.came },
    remarks: [...stoppedAt(came, beside.seen, all), ...unnamed, ...beside.remarks()],
  };
}

const problemsIn = (read: Result<unknown>) =>
  read.ok ? null : read.problems.map((p) => capital(formatProblem(p)));

/** What is said where not everything came in. */
function stoppedAt(came: readonly CameIn[], beside: number, all: number): readonly string[] {
  return came.length + beside < all
    ? [
        `You stopped: ${countOf(came)} of ${all} came in, the others did not. Bring the file in again for the rest.`,
      ]
    : [];
}

type Written = ThingName & { readonly revision: Revision };

/** Takes back what came in. @returns what is said where it cannot be. */
async function takeBack(
  store: Pick<LibraryStore, 'things'>,
  added: readonly Written[],
): Promise<readonly string[]> {
  for (let at = 0; at < added.length; at += TOGETHER) {
    const gone = await store.things.withdraw(added.slice(at, at + TOGETHER));
    if (gone.kind === 'done') continue;
    const what = countOf(added.slice(at));
    return [`What had come in could not be taken back: ${what} of the file may be in the library.`];
  }
  return [];
}

/** Writes everything that could be read in one go, and says what became of each file. */
export async function bringIn(
  store: Pick<LibraryStore, 'things' | 'kinds' | 'of' | 'versions'>,
  files: readonly { readonly name: string; readonly result: Result<DecodedFile> }[],
): Promise<readonly FileOutcome[]> {
  const read = files.map(({ result }) => (result.ok ? thingsIn(result.value) : []));
  const given = read.map(libraryOf);
  const { entries: all, joins } = apartFrom(store, inOrder(store, given.flat()));
  const renamed = new Map<string, string>();
  const { entries: things, inFile, here } = await knownHere(store, all, renamed);
  const added = things.length === 0 ? null : await store.things.add(things);
  const outcomes = new Map<Thing, CameIn>(here);
  let unjoined: readonly string[] = [];
  let unnamed: readonly string[] = [];
  const naming: Naming[] = [];
  const beside = read.map(() => new BesideIn(store));
  if (added === null || added.kind === 'saved') {
    things.forEach((t, i) => {
      const fromFile = inFile.get(t) ?? t;
      const one = cameIn(fromFile, t, added!.added[i]!);
      if (one.from !== undefined) renamed.set(`${t.kind.name} ${one.from}`, one.id);
      outcomes.set(fromFile, one);
      naming.push(...namingOf(fromFile, one));
    });
    unnamed = await followSources(store, naming, renamed);
    const joined = await joinAll(store, joins, renamed);
    for (const [i, some] of read.entries()) await beside[i]!.from(some, renamed);
    if ('refused' in joined) unjoined = refusalInWords(joined.refused);
    else
      joins.forEach((t, i) => {
        outcomes.set(t, joined.came[i]!);
      });
  }
  return files.map(({ name, result }, i): FileOutcome => {
    if (!result.ok) {
      const reasons = result.problems.map((p) => capital(formatProblem(p)));
      const foreign = result.problems.some((p) => p.foreign);
      return { kind: 'out', name, reasons, ...(foreign && { foreign }) };
    }
    const { came: versions } = beside[i]!;
    const told = [...unnamed, ...unjoined, ...beside[i]!.remarks()];
    const remarks = [...result.value.remarks.map(capital), ...told];
    if (added !== null && added.kind !== 'saved') {
      return { kind: 'out', name, reasons: refusalInWords(added) };
    }
    const came = given[i]!.flatMap((thing) => {
      const one = outcomes.get(thing);
      if (one === undefined && unjoined.length > 0) return [];
      if (one === undefined) throw new RangeError('everything that was added is reported');
      return { ...one, ...(!result.value.library && mayBeCut(thing) && { long: true as const }) };
    });
    return { kind: 'in', name, ...byKind(came), versions, remarks };
  });
}

function mayBeCut({ kind, value }: Thing): boolean {
  // What stands under the kind of phrases is one.
  return kind === PHRASES && isLong(value as Phrase);
}

function thingsIn({ phrases, others = [] }: DecodedFile): readonly Thing[] {
  // Each an object of its own, even where one thing stands in two files.
  return [...phrases.map((value) => ({ kind: PHRASES, value })), ...others.map((t) => ({ ...t }))];
}

/** What is named by others before them, so that they can follow a new id. */
function inOrder<T extends Thing>(
  { kinds }: Pick<LibraryStore, 'kinds'>,
  things: readonly T[],
): readonly T[] {
  if (things.every((t) => t.kind === PHRASES)) return things;
  const place = (t: T) => kinds.indexOf(t.kind);
  return [...things].sort((a, b) => place(a) - place(b));
}

function byKind(came: readonly CameIn[]) {
  return {
    phrases: came.filter((c) => c.kind === PHRASES),
    others: came.filter((c) => c.kind !== PHRASES),
  };
}

/** @param given As it is in the file; `entry` is what was added for it. */
function cameIn(given: Thing, entry: Thing, added: Added<{ readonly id: string }>): CameIn {
  const { kind } = entry;
  const { id: of, title } = kind.identityOf(given.value);
  const { id } = added.stored;
  if (added.kind === 'added' && id !== of) return { kind, id, title, how: 'copied', from: of };
  const from = added.kind === 'copied' ? { from: added.from } : {};
  return { kind, id, title, how: added.kind, ...from };
}
