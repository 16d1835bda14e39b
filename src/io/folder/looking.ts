import { MOST_PAST } from '../../core/library/in-step/decide';
import type { Problem } from '../../core/result';
import type { Carried } from './format';
import { lookAt } from './look';
import { foldersOf, isLookedAt, isPathOf, markIn } from './names';
import type { FileNote, Notes, ThingNote } from './notes';
import {
  type CarriedLibrary,
  type CarryOptions,
  type Folder,
  keyOf,
  type LibraryEntry,
  type Listed,
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
  /** Paths of the files of each thing. */
  readonly files = new Map<string, string[]>();
  readonly unreadable: { path: string; problems: readonly Problem[] }[] = [];
  /** Marks in the names of files that cannot be read. */
  readonly unreadMarks = new Set<string>();
  readonly sums = new Map<string, number>();
  readonly entries = new Map<string, LibraryEntry>();
  differing: ThingName[] = [];
  private readonly taken = new Set<string>();
  private readonly atHand = new Map<string, ReadFile>();
  private room = MOST_AT_HAND;

  constructor(
    private readonly library: CarriedLibrary,
    private readonly folder: Folder,
    private readonly notes: Notes,
  ) {}

  /** Finds out what a file is. */
  async see(path: string, stamp: string, thorough: boolean): Promise<void> {
    this.taken.add(path.normalize('NFC').toLowerCase());
    if (!isLookedAt(path)) return;
    const note = this.notes.files.get(path);
    if (note !== undefined && note.stamp === stamp && !thorough) return this.put(path, note);
    this.notes.files.delete(path);
    const text = await this.folder.read(path);
    if (text === null) return this.cannotRead(path, [GONE]);
    const looked = lookAt(path, text, this.library.kinds);
    if (looked.kind === 'unreadable') return this.cannotRead(path, looked.problems);
    if (looked.kind === 'foreign') {
      this.notes.files.set(path, { stamp });
      return;
    }
    const { carried } = looked;
    const ours = looked.kind === 'carried';
    const { version, past, untouched } = carried;
    const found: FileNote = { stamp, key: keyOf(carried), version, past, ours, untouched };
    this.notes.files.set(path, found);
    this.put(path, found);
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
    const seen = this.notes.things.get(key);
    const notes = (this.files.get(key) ?? []).map((path) => {
      return { path, note: this.notes.files.get(path) };
    });
    const ours = notes.filter(({ note }) => note?.ours === true);
    const [only, ...more] = ours;
    if (only?.note === undefined || more.length > 0) return false;
    const { note, path } = only;
    if (note.version !== version || note.untouched !== true) return false;
    // What was put there by hand counts until it was seen.
    const past = new Set(note.past);
    if (
      !notes.every(
        (n) => n === only || n.note?.version === version || past.has(n.note?.version ?? ''),
      )
    ) {
      return false;
    }
    if (seen !== undefined && seen.version !== version) return false;
    const title = this.entries.get(key)?.title;
    if (title !== undefined && !isPathOf(path, name.kind, name.id, title)) return false;
    return past.size >= MOST_PAST || (seen?.past ?? []).every((p) => past.has(p));
  }

  /** All versions of a thing that its files say are past. */
  pastOf(key: string): readonly string[] {
    const paths = this.files.get(key) ?? [];
    return [...new Set(paths.flatMap((path) => this.notes.files.get(path)?.past ?? []))];
  }

  /** Whether anything is known of a thing, on either side or from before. */
  isKnown(key: string): boolean {
    return this.entries.has(key) || this.files.has(key) || this.notes.things.has(key);
  }

  /** The first path at which nothing lies; it is taken by that. */
  freePath(pathFor: (n: number) => string): string {
    for (let n = 1; ; n++) {
      const path = pathFor(n);
      const folded = path.normalize('NFC').toLowerCase();
      if (this.taken.has(folded)) continue;
      this.taken.add(folded);
      return path;
    }
  }

  private cannotRead(path: string, problems: readonly Problem[]): void {
    this.unreadable.push({ path, problems });
    const mark = markIn(path);
    if (mark !== null) this.unreadMarks.add(mark);
  }

  private put(path: string, { key }: FileNote): void {
    if (key === undefined) return;
    const known = this.files.get(key);
    if (known === undefined) this.files.set(key, [path]);
    else known.push(path);
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
  const listed = quick ? asNoted(notes) : await folder.list(foldersOf(library.kinds));
  const there = new Set(listed.map((f) => f.path));
  for (const path of notes.files.keys()) if (!there.has(path)) notes.files.delete(path);
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
    ...(quick ? [] : looking.files.keys()),
    ...notes.things.keys(),
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

/** The files as they were at the last look. */
function asNoted(notes: Notes): readonly Listed[] {
  return [...notes.files].map(([path, { stamp }]) => ({ path, stamp }));
}

/** Whether nothing is to be done about a thing, as far as can be known without reading it. */
function isSettled(looking: Looking, notes: Notes, name: ThingName, quick: boolean): boolean {
  const key = keyOf(name);
  const seen = notes.things.get(key);
  const entry = looking.entries.get(key);
  const version = versionIn(entry, seen);
  if (quick) return seen !== undefined && version === seen.version;
  const still = version !== undefined && seen !== undefined && looking.isInStep(name, version);
  if (still && looking.pastOf(key).length === seen.past.length) return true;
  return isOver(looking, key, seen);
}

/** The version in the library as far as it is known without reading; null: it is not there. */
function versionIn(
  entry: LibraryEntry | undefined,
  seen: ThingNote | undefined,
): string | null | undefined {
  if (entry === undefined) return null;
  const same = seen !== undefined && entry.sum !== undefined && entry.sum === seen.sum;
  return same ? seen.version : undefined;
}

/** What is on neither side and was removed long ago. */
function isOver(looking: Looking, key: string, seen: ThingNote | undefined): boolean {
  if (looking.entries.has(key) || looking.files.has(key)) return false;
  return seen === undefined || seen.version === null;
}

function nameIn(key: string, library: CarriedLibrary): ThingName | null {
  const space = key.indexOf(' ');
  const kind = library.kinds.find((k) => k.name === key.slice(0, space));
  return kind === undefined ? null : { kind, id: key.slice(space + 1) };
}

const GONE: Problem = {
  message: 'the file cannot be read now',
  fix: 'It is tried again; look whether the file service is done.',
};
