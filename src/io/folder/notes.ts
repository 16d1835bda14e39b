import type { Seen } from '../../core/library/in-step/decide';
import { blockOf, type NotedFile, type NotedThing, readBlock, writeBlock } from './notes-text';

/** What is remembered of a thing between two looks. */
export interface ThingNote extends Seen {
  /** Stands for the content in the library, where it has such a number; then it need not be read. */
  readonly sum?: number;
}

/** What was read of a file; it counts while its stamp is the same. */
export interface FileNote {
  /** Size and time of change, as the folder tells them. */
  readonly stamp: string;
  /** Kind and id of what is in it; absent for what is foreign. */
  readonly key?: string;
  readonly version?: string | null;
  readonly past?: readonly string[];
  readonly ours?: boolean;
  readonly untouched?: boolean;
}

/** A part of the notes as it is kept: the number of the block, and its text. */
export type BlockText = readonly [block: number, text: string];

/**
 * What a device remembers of one library and one folder. It may be lost at any time: then what differs
 * is kept twice where the files do not say which version was made of which. It is kept in blocks, so
 * that a look writes only those in which something changed.
 */
export class Notes {
  private readonly things = new Map<string, NotedThing>();
  private readonly files = new Map<string, NotedFile>();
  /** The files of each thing, in the order in which they were seen. */
  private readonly paths = new Map<string, readonly string[]>();
  private readonly blocks = new Map<number, { keys: Set<string>; paths: Set<string> }>();
  private readonly changed = new Set<number>();

  /** How many things are known. */
  get size(): number {
    return this.things.size;
  }

  keys(): Iterable<string> {
    return this.things.keys();
  }

  filePaths(): Iterable<string> {
    return this.files.keys();
  }

  /** Of everything of which there is a file. */
  keysOfFiles(): Iterable<string> {
    return this.paths.keys();
  }

  thing(key: string): ThingNote | undefined {
    const note = this.things.get(key);
    if (note === undefined) return undefined;
    const { version, past, sum } = note;
    return { version, past: unpack(past), ...(sum !== undefined && { sum }) };
  }

  /** `thing` without what is past by it, which may be long. */
  lastOf(key: string): Omit<NotedThing, 'past'> | undefined {
    return this.things.get(key);
  }

  file(path: string): FileNote | undefined {
    const note = this.files.get(path);
    if (note?.past === undefined) return note as Omit<NotedFile, 'past'> | undefined;
    return { ...note, past: unpack(note.past) };
  }

  /** `file` without what is past by it, which may be long. */
  stampedAs(path: string): Omit<NotedFile, 'past'> | undefined {
    return this.files.get(path);
  }

  pathsOf(key: string): readonly string[] {
    return this.paths.get(key) ?? [];
  }

  /** Whether a file says the same about what is past as was remembered of the thing in it. */
  saysTheSame(key: string, path: string): boolean {
    const past = this.files.get(path)?.past;
    return past !== undefined && past === this.things.get(key)?.past;
  }

  setThing(key: string, { version, past, sum }: ThingNote): void {
    const packed = past.join('');
    const before = this.things.get(key);
    if (before?.version === version && before.sum === sum && before.past === packed) return;
    this.put(key, { version, past: packed, ...(sum !== undefined && { sum }) });
    this.changed.add(blockOf(key));
  }

  setFile(path: string, { past, ...note }: FileNote): void {
    const before = this.files.get(path);
    // One text where both say the same, however long it is.
    const packed = past?.join('');
    const known = note.key === undefined ? undefined : this.things.get(note.key)?.past;
    const shared = packed === known ? known : packed;
    const made: NotedFile = { ...note, ...(shared !== undefined && { past: shared }) };
    if (before !== undefined && sameFile(before, made)) return;
    this.dropFile(path);
    this.putFile(path, made);
    this.changed.add(blockOf(note.key ?? path));
  }

  dropFile(path: string): void {
    const note = this.files.get(path);
    if (note === undefined) return;
    this.takeOut(path, note);
    this.changed.add(blockOf(note.key ?? path));
  }

  private takeOut(path: string, note: NotedFile): void {
    this.files.delete(path);
    this.blocks.get(blockOf(note.key ?? path))?.paths.delete(path);
    if (note.key === undefined) return;
    const left = this.pathsOf(note.key).filter((p) => p !== path);
    if (left.length === 0) this.paths.delete(note.key);
    else this.paths.set(note.key, left);
  }

  /** The blocks that changed since this was asked last; a text is empty where nothing is left. */
  takeChanged(): readonly BlockText[] {
    const blocks = [...this.changed].sort((a, b) => a - b);
    this.changed.clear();
    return blocks.map((block) => [block, this.textOf(block)]);
  }

  /** Takes what `takeChanged` gave as not kept. */
  giveBack(blocks: readonly BlockText[]): void {
    for (const [block] of blocks) this.changed.add(block);
  }

  /** Every block in which there is something. */
  all(): readonly BlockText[] {
    const blocks = [...this.blocks.keys()].sort((a, b) => a - b);
    return blocks
      .map((block): BlockText => [block, this.textOf(block)])
      .filter(([, text]) => text !== '');
  }

  /**
   * Puts a block in the place of what is known of it.
   * @returns whether it could be read; what cannot is not known.
   */
  read([block, text]: BlockText): boolean {
    const before = this.blocks.get(block);
    for (const path of [...(before?.paths ?? [])]) this.takeOut(path, this.files.get(path)!);
    for (const key of before?.keys ?? []) this.things.delete(key);
    this.blocks.delete(block);
    this.changed.delete(block);
    const found = readBlock(text, block);
    if (found === null) return false;
    for (const [key, note] of found.things) this.put(key, note);
    for (const [path, note] of found.files) this.putFile(path, note);
    return true;
  }

  private textOf(block: number): string {
    const { keys = [], paths = [] } = this.blocks.get(block) ?? {};
    return writeBlock(
      [...keys].map((key) => [key, this.things.get(key)!]),
      [...paths].map((path) => [path, this.files.get(path)!]),
    );
  }

  private put(key: string, note: NotedThing): void {
    this.things.set(key, note);
    this.block(blockOf(key)).keys.add(key);
  }

  private putFile(path: string, note: NotedFile): void {
    const before = this.files.get(path);
    if (before !== undefined) this.takeOut(path, before);
    this.files.set(path, note);
    this.block(blockOf(note.key ?? path)).paths.add(path);
    if (note.key !== undefined) this.paths.set(note.key, [...this.pathsOf(note.key), path]);
  }

  private block(number: number): { keys: Set<string>; paths: Set<string> } {
    const known = this.blocks.get(number);
    if (known !== undefined) return known;
    const made = { keys: new Set<string>(), paths: new Set<string>() };
    this.blocks.set(number, made);
    return made;
  }
}

function sameFile(a: NotedFile, b: NotedFile): boolean {
  const fields = ['stamp', 'key', 'version', 'past', 'ours', 'untouched'] as const;
  return fields.every((field) => a[field] === b[field]);
}

/** What is remembered of two that have never been in step. */
export function noNotes(): Notes {
  return new Notes();
}

/** Versions out of one text of their numbers, of 16 digits each. */
function unpack(past: string): readonly string[] {
  return past.match(/.{16}/gu) ?? [];
}
