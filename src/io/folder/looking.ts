import { MOST_PAST } from '../../core/library/in-step/decide';
import type { Problem } from '../../core/result';
import type { Carried } from './format';
import { lookAt } from './look';
import { foldersOf, isLookedAt, isPathOf, markIn } from './names';
import type { Notes } from './notes';
import {
  type CarriedLibrary,
  type CarryOptions,
  type Folder,
  keyOf,
  type LibraryEntry,
  type ThingName,
} from './ports';

/** A file that was read, with the text that may be written over or removed. */
export interface ReadFile {
  readonly path: string;
  readonly text: string;
  readonly carried: Carried;
  /** Written by this program, so that it may write over it. */
  readonly ours: boolean;
}

/** Characters of files that are kept from looking to deciding. */
const MOST_AT_HAND = 8_000_000;

/** What a look at both sides has found. */
export class Looking {
  readonly unreadable: { path: string; problems: readonly Problem[] }[] = [];
  /** Marks in the names of files that cannot be read. */
  readonly unreadMarks = new Set<string>();
  readonly sums = new Map<string, number>();
  readonly entries = new Map<string, LibraryEntry>();
  differing: ThingName[] = [];
  /** Names of files as systems that take no notice of case tell them apart; where they were asked for. */
  private taken: Set<string> | null = null;
  /** Those that lie there and are not noted. */
  private readonly others: string[] = [];
  /** Files of ours that are empty: a page that goes away while it makes a file leaves such a one. */
  private readonly empty = new Set<string>();
  private readonly atHand = new Map<string, ReadFile>();
  private room = MOST_AT_HAND;

  constructor(
    private readonly library: CarriedLibrary,
    private readonly folder: Folder,
    private readonly notes: Notes,
  ) {}

  /** Finds out what a file is. */
  async see(path: string, stamp: string, thorough: boolean): Promise<void> {
    if (!isLookedAt(path)) {
      this.others.push(path);
      return;
    }
    if (!thorough && this.notes.stampedAs(path)?.stamp === stamp) return;
    const text = await this.folder.read(path);
    if (text === null) return this.cannotRead(path, [GONE]);
    const looked = lookAt(path, text, this.library.kinds);
    if (text === '' && looked.kind === 'unreadable') this.empty.add(path);
    if (looked.kind === 'unreadable') return this.cannotRead(path, looked.problems);
    if (looked.kind === 'foreign') {
      this.notes.setFile(path, { stamp });
      return;
    }
    const { carried } = looked;
    const ours = looked.kind === 'carried';
    const { version, past, untouched } = carried;
    this.notes.setFile(path, { stamp, key: keyOf(carried), version, past, ours, untouched });
    if (text.length < this.room) {
      this.room -= text.length;
      this.atHand.set(path, { path, text, carried, ours });
    }
  }

  /** Reads a file of a thing; null where it is no such file now. */
  async read(path: string): Promise<ReadFile | null> {
    const known = this.atHand.get(path);
    if (known !== undefined) {
      this.atHand.delete(path);
      this.room += known.text.length;
      return known;
    }
    const text = await this.folder.read(path);
    const looked = text === null ? null : lookAt(path, text, this.library.kinds);
    if (text === null || looked === null) return null;
    if (looked.kind !== 'carried' && looked.kind !== 'put there') return null;
    return { path, text, carried: looked.carried, ours: looked.kind === 'carried' };
  }

  /** Whether both sides hold a version, and everything is said about it. */
  isInStep(name: ThingName, version: string | null): boolean {
    const key = keyOf(name);
    const paths = this.notes.pathsOf(key);
    const seen = this.notes.lastOf(key);
    if (seen !== undefined && seen.version !== version) return false;
    const [path, ...more] = paths.filter((p) => this.notes.stampedAs(p)?.ours === true);
    if (path === undefined || more.length > 0) return false;
    const note = this.notes.stampedAs(path)!;
    if (note.version !== version || note.untouched !== true) return false;
    const title = this.entries.get(key)?.title;
    if (title !== undefined && !isPathOf(path, name.kind, name.id, title)) return false;
    if (paths.length === 1 && this.notes.saysTheSame(key, path)) return true;
    const past = new Set(this.notes.file(path)?.past);
    // What was put there by hand counts until it was seen.
    const others = paths.map((p) => this.notes.stampedAs(p)?.version ?? '');
    if (!others.every((other) => other === version || past.has(other))) return false;
    return past.size >= MOST_PAST || (this.notes.thing(key)?.past ?? []).every((p) => past.has(p));
  }

  /** Whether its files say just what was remembered to be past. */
  saysNoMore(key: string): boolean {
    const paths = this.notes.pathsOf(key);
    if (paths.length === 1 && this.notes.saysTheSame(key, paths[0]!)) return true;
    return this.pastOf(key).length === (this.notes.thing(key)?.past.length ?? 0);
  }

  /** All versions of a thing that its files say are past. */
  pastOf(key: string): readonly string[] {
    const paths = this.notes.pathsOf(key);
    return [...new Set(paths.flatMap((path) => this.notes.file(path)?.past ?? []))];
  }

  /** Whether anything is known of a thing, on either side or from before. */
  isKnown(key: string): boolean {
    const { notes } = this;
    return (
      this.entries.has(key) || notes.pathsOf(key).length > 0 || notes.lastOf(key) !== undefined
    );
  }

  /** The first path at which nothing lies, or a file with nothing in it; it is taken by that. */
  freePath(pathFor: (n: number) => string): { readonly path: string; readonly before: '' | null } {
    const first = pathFor(1);
    if (this.empty.delete(first)) return { path: first, before: '' };
    this.taken ??= new Set([...this.notes.filePaths(), ...this.others].map(folded));
    for (let n = 1; ; n++) {
      const path = pathFor(n);
      if (this.taken.has(folded(path))) continue;
      this.taken.add(folded(path));
      return { path, before: null };
    }
  }

  private cannotRead(path: string, problems: readonly Problem[]): void {
    this.notes.dropFile(path);
    this.others.push(path);
    this.unreadable.push({ path, problems });
    const mark = markIn(path);
    if (mark !== null) this.unreadMarks.add(mark);
  }
}

/** Looks at the whole folder and the list of the library, and says what is not in step. */
export async function look(
  library: CarriedLibrary,
  folder: Folder,
  notes: Notes,
  options: CarryOptions,
): Promise<Looking> {
  const { thorough = false, quick = false, breathe, progress } = options;
  const looking = new Looking(library, folder, notes);
  // What lies there is as it was noted, where only an edit of the library is carried.
  const listed = quick ? [] : await folder.list(foldersOf(library.kinds));
  const there = new Set(listed.map((f) => f.path));
  if (!quick) for (const path of [...notes.filePaths()]) if (!there.has(path)) notes.dropFile(path);
  for (const [i, { path, stamp }] of listed.entries()) {
    progress?.('looking', i, listed.length);
    await breathe?.();
    await looking.see(path, stamp, thorough);
  }
  for (const entry of library.entries()) {
    const key = keyOf(entry);
    looking.entries.set(key, entry);
    if (entry.sum !== undefined) looking.sums.set(key, entry.sum);
    await breathe?.();
  }
  const keys = new Set([
    ...looking.entries.keys(),
    ...(quick ? [] : notes.keysOfFiles()),
    ...notes.keys(),
  ]);
  const differing: ThingName[] = [];
  for (const key of keys) {
    await breathe?.();
    const name = looking.entries.get(key) ?? nameIn(key, library);
    if (name !== null && !isSettled(looking, notes, name, quick)) differing.push(name);
  }
  // What is named by others comes before them.
  const order = new Map(library.kinds.map((k, i) => [k, i]));
  looking.differing = differing.sort((a, b) => order.get(a.kind)! - order.get(b.kind)!);
  return looking;
}

/** Whether nothing is to be done about a thing, as far as can be known without reading it. */
function isSettled(looking: Looking, notes: Notes, name: ThingName, quick: boolean): boolean {
  const key = keyOf(name);
  const seen = notes.lastOf(key);
  const entry = looking.entries.get(key);
  const version = versionIn(entry, seen);
  if (quick) return seen !== undefined && version === seen.version;
  const still = version !== undefined && seen !== undefined && looking.isInStep(name, version);
  if (still && looking.saysNoMore(key)) return true;
  // What is on neither side and was removed long ago.
  const nowhere = entry === undefined && notes.pathsOf(key).length === 0;
  return nowhere && (seen === undefined || seen.version === null);
}

/** The version in the library as far as it is known without reading; null: it is not there. */
function versionIn(
  entry: LibraryEntry | undefined,
  seen: ReturnType<Notes['lastOf']>,
): string | null | undefined {
  if (entry === undefined) return null;
  const same = seen !== undefined && entry.sum !== undefined && entry.sum === seen.sum;
  return same ? seen.version : undefined;
}

function nameIn(key: string, library: CarriedLibrary): ThingName | null {
  const space = key.indexOf(' ');
  const kind = library.kinds.find((k) => k.name === key.slice(0, space));
  return kind === undefined ? null : { kind, id: key.slice(space + 1) };
}

/** A name as systems that take no notice of case, or take accents apart, tell it. */
function folded(path: string): string {
  return path.normalize('NFC').toLowerCase();
}

const GONE: Problem = {
  message: 'the file cannot be read now',
  fix: 'It is tried again; look whether the file service is done.',
};
