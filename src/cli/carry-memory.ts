import type { Problem, Result } from '../core/result';
import { ok } from '../core/result';
import { type BlockText, type Notes, noNotes } from '../io/folder/notes';
import { readOlderNotes } from '../io/folder/older-notes';
import type { Files as AllFiles } from './io';

type Files = Pick<AllFiles, 'read' | 'kindOf'> & {
  readonly write: (
    path: string,
    bytes: Uint8Array,
    overwrite: boolean,
  ) => ReturnType<AllFiles['write']>;
};

const FORMAT = 'degreewise-carry-memory';
const VERSION = 2;
/** Bytes of such a file that are read: what 100,000 things have when each has 400 past versions. */
const MOST_BYTES = 1_073_741_824;

/**
 * What is remembered of a library and its folders, in a hidden file beside the library: a line for
 * each folder, and after it one for each block of its notes. It may be lost: then what was never seen
 * in step is put together, and nothing is removed.
 */
export class CarryMemory {
  private readonly places = new Map<string, Notes>();
  private damaged = 0;
  private isOlder = false;
  private newer = false;

  private constructor(
    private readonly files: Files,
    readonly path: string,
    /** Why what is there cannot be read, or not all of it; null where nothing is wrong. */
    public trouble: string | null,
  ) {}

  static async of(files: Files, library: string): Promise<CarryMemory> {
    const path = library.replace(/([^/\\]*)$/u, '.$1.carried');
    if ((await files.kindOf(path)) === 'none') return new CarryMemory(files, path, null);
    const read = await files.read(path, () => MOST_BYTES);
    if (!read.ok) return new CarryMemory(files, path, inWords(read.problems));
    const memory = new CarryMemory(files, path, null);
    memory.take(read.value);
    return memory;
  }

  /** A newer program wrote it: to write over it would lose what that one remembers. */
  get isNewer(): boolean {
    return this.newer;
  }

  of(place: string): Notes {
    const known = this.places.get(place) ?? noNotes();
    this.places.set(place, known);
    return known;
  }

  /** Writes it anew if anything in it changed. */
  async keep(place: string, notes: Notes): Promise<Result<unknown>> {
    const changed = notes.takeChanged().length > 0 || this.places.get(place) !== notes;
    this.places.set(place, notes);
    if (!changed && !this.isOlder && this.trouble === null) return ok(null);
    const lines = [{ format: FORMAT, version: VERSION }, ...this.parts()];
    const encoder = new TextEncoder();
    const bytes = lines.map((line) => encoder.encode(`${JSON.stringify(line)}\n`));
    const whole = new Uint8Array(bytes.reduce((sum, b) => sum + b.length, 0));
    let at = 0;
    for (const some of bytes) {
      whole.set(some, at);
      at += some.length;
    }
    return this.files.write(this.path, whole, true);
  }

  private *parts(): Generator<{ readonly place: string } | BlockText> {
    for (const [place, notes] of this.places) {
      yield { place };
      yield* notes.all();
    }
  }

  private take(bytes: Uint8Array): void {
    const lines = linesOf(bytes);
    const first = parsed(lines.next().value ?? '');
    if (isRecord(first) && first.format === FORMAT && first.version === VERSION) {
      this.takeLines(lines);
    } else if (isRecord(first) && first.format === FORMAT) {
      this.newer = typeof first.version === 'number' && first.version > VERSION;
      if (!this.newer) this.trouble = 'it is damaged';
    } else if (isRecord(first)) {
      this.takeOlder(first);
    } else {
      this.trouble = 'it is damaged';
    }
    if (this.damaged > 0) this.trouble = 'a part of it is damaged';
  }

  private takeLines(lines: Iterable<string>): void {
    let notes: Notes | null = null;
    for (const text of lines) {
      const line = parsed(text);
      if (isRecord(line) && typeof line.place === 'string') notes = this.of(line.place);
      else if (isBlock(line)) this.damaged += notes?.read(line) === true ? 0 : 1;
      else {
        this.damaged += 1;
        // It may have named a folder: what follows is not for the one before.
        notes = null;
      }
    }
  }

  /** Until version 2 it was one object: each folder, and its notes as one text. */
  private takeOlder(places: Readonly<Record<string, unknown>>): void {
    this.isOlder = true;
    for (const [place, text] of Object.entries(places)) {
      const notes = readOlderNotes(String(text));
      if (notes === null) this.damaged += 1;
      else this.places.set(place, notes);
    }
  }
}

/** The lines of a text, however long it is: what does not fit into one string is never one. */
function* linesOf(bytes: Uint8Array): Generator<string> {
  const decoder = new TextDecoder();
  for (let at = 0; at < bytes.length; ) {
    const end = bytes.indexOf(10, at);
    const line = bytes.subarray(at, end === -1 ? bytes.length : end);
    yield decoder.decode(line);
    at += line.length + 1;
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isBlock(value: unknown): value is BlockText {
  if (!Array.isArray(value) || value.length !== 2) return false;
  return typeof value[0] === 'number' && typeof value[1] === 'string';
}

function inWords(problems: readonly Problem[]): string {
  return problems.map((p) => p.message).join('; ');
}
