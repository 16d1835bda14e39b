import {
  type Decision,
  decide,
  MOST_PAST,
  type Steppable,
  versionOf,
} from '../../core/library/in-step/decide';
import { olderForms } from '../json/older-forms';
import { type AnyKind, readyFor, type Thing } from '../kinds/kind';
import { type Carried, writeCarried, writeRemoved } from './format';
import { type Looking, look, type ReadFile } from './looking';
import { isPathOf, markOf, pathOf, removedPath } from './names';
import type { Notes } from './notes';
import {
  type CarriedLibrary,
  type Carrying,
  type CarryingLine,
  type CarryOptions,
  type Folder,
  keyOf,
  type LibraryChange,
  type ThingName,
} from './ports';

/** So many things are at hand at once. */
const PIECE = 32;
/** So many files are written at a time. */
const LANES = 4;
/** From so many on they are many for a library that shows itself meanwhile. */
const MANY = 200;

/**
 * Brings a library and a folder in step, once: what is new on one side comes to the other, of what
 * changed on both sides both are kept. It may end anywhere and be begun again. `notes` are changed.
 */
export async function carry(
  library: CarriedLibrary,
  folder: Folder,
  notes: Notes,
  options: CarryOptions,
): Promise<Carrying> {
  // Files are checked before anything of the library is read.
  await readyFor(library.kinds);
  const looking = await look(library, folder, notes, options);
  const round = new Round(library, folder, notes, options, looking);
  const all = () => round.all();
  return looking.differing.length > MANY && library.inBulk ? library.inBulk(all) : all();
}

class Round {
  private readonly lines: CarryingLine[] = [];
  private waiting = 0;

  constructor(
    private readonly library: CarriedLibrary,
    private readonly folder: Folder,
    private readonly notes: Notes,
    private readonly options: CarryOptions,
    private readonly looking: Looking,
  ) {}

  async all(): Promise<Carrying> {
    const { differing, unreadable } = this.looking;
    for (let at = 0; at < differing.length; at += PIECE) {
      this.options.progress?.('carrying', at, differing.length);
      await this.piece(differing.slice(at, at + PIECE));
    }
    return { lines: this.lines, unreadable, waiting: this.waiting };
  }

  private async piece(names: readonly ThingName[]): Promise<void> {
    const loaded = await this.library.load(names);
    const inLibrary = new Map(loaded.map((t) => [keyOf({ kind: t.kind, id: idOf(t) }), t.value]));
    const settled: Settled[] = [];
    for (const name of names) {
      await this.options.breathe?.();
      const one = await this.settle(name, inLibrary.get(keyOf(name)) ?? null);
      if (one !== null) settled.push(one);
    }
    const besides = new Map(settled.map((t) => [t, this.besideOf(t)]));
    const kept = await this.take([...besides.values()].flat());
    // What could not be kept beside a thing may lie nowhere else: then the thing is left as it is.
    const sure = settled.filter((t) => besides.get(t)!.every((b) => kept.has(keyOf(b))));
    const taken = await this.take(sure.flatMap((t) => t.change ?? []));
    const things = sure.filter((t) => t.change === null || taken.has(keyOf(t)));
    this.waiting += settled.length - things.length;
    for (const thing of things) this.tell(thing);
    // Before the files that they came from are written over: wherever this ends, each lies in one.
    const came = [...besides.values()].flat().filter((b) => kept.has(keyOf(b)));
    if (came.length > 0) await this.piece(came);
    await lanes(things, async (thing) => {
      await this.options.breathe?.();
      await this.file(thing, taken.get(keyOf(thing)));
    });
  }

  private async take(changes: readonly LibraryChange[]): ReturnType<CarriedLibrary['take']> {
    return changes.length === 0 ? new Map() : this.library.take(changes);
  }

  /** Decides what becomes of one thing; null where nothing does. */
  private async settle(name: ThingName, value: unknown): Promise<Settled | null> {
    const key = keyOf(name);
    if (value === null && this.isUnread(name)) return null;
    const seen = this.notes.thing(key) ?? null;
    const had = value === null ? null : versionOf(value);
    const paths = this.notes.pathsOf(key);
    if (this.looking.isInStep(name, had)) {
      this.remember(key, had, this.looking.pastOf(key), this.looking.sums.get(key));
      return null;
    }
    // The file may be half arrived: it is waited for, if nothing is to be told.
    const unread = this.looking.unreadMarks.has(markOf(name.kind, name.id));
    if (paths.length === 0 && unread && seen !== null && had === seen.version) return null;
    const files: ReadFile[] = [];
    for (const path of paths) {
      const file = await this.looking.read(path);
      if (file === null || keyOf(file.carried) !== key) {
        this.waiting += 1;
        return null;
      }
      files.push(file);
    }
    const filed = files.map(({ carried }) => {
      return { value: carried.thing?.value ?? null, past: carried.past };
    });
    const sides = { seen, library: value, files: filed };
    const decision = decide(steppable(name.kind), sides, this.options.now);
    const change =
      decision.library === 'stays' ? null : { ...name, was: value, value: decision.value };
    return { ...name, had: value, files, decision, change };
  }

  /** Whether the library has it, but does not give it now: that is no removal. */
  private isUnread(name: ThingName): boolean {
    return this.looking.entries.has(keyOf(name)) || this.library.cannotRead?.(name) === true;
  }

  /** What is kept beside a thing, where it was never there. */
  private besideOf({ kind, decision }: Settled): readonly LibraryChange[] {
    return decision.beside.flatMap((value) => {
      const name = { kind, id: kind.identityOf(value).id };
      const known = this.looking.isKnown(keyOf(name));
      return known ? [] : [{ ...name, was: null, value }];
    });
  }

  private tell({ kind, id, had, decision, change }: Settled): void {
    const say = (what: CarryingLine['what'], value: unknown, of = id) => {
      this.lines.push({ kind, id: of, title: kind.identityOf(value).title, what });
    };
    if (change !== null) {
      if (decision.value === null) say('removed from the library', had);
      else say(had === null ? 'new in the library' : 'changed in the library', decision.value);
    }
    for (const value of decision.beside) say('kept as both', value, kind.identityOf(value).id);
  }

  /** Makes the files of a thing say what was decided. */
  private async file(thing: Settled, sum: number | undefined): Promise<void> {
    const { kind, id, decision, files } = thing;
    const { value, past } = decision;
    const ours = files.filter((f) => f.ours);
    // Nothing was ever known of it.
    if (value === null && past.length === 0) return;
    const version = value === null ? null : versionOf(value);
    const title = value === null ? '' : kind.identityOf(value).title;
    const home = ours.find(({ path, carried }) =>
      value === null ? carried.thing === null : isPathOf(path, kind, id, title),
    );
    const key = keyOf(thing);
    let at = home?.path ?? null;
    if (home === undefined || !saysSo(home.carried, version, past)) {
      const pathFor = (n: number) =>
        value === null ? removedPath(kind, id, n) : pathOf(kind, id, title, n);
      const free = home === undefined ? this.looking.freePath(pathFor) : null;
      const place = free?.path ?? at!;
      at = place;
      const text =
        value === null ? writeRemoved(kind, id, past) : writeCarried({ kind, value }, past);
      const stamp = await this.folder.write(place, text, home?.text ?? free?.before ?? null);
      if (stamp === null) {
        this.waiting += 1;
        return;
      }
      this.notes.setFile(place, { stamp, key, version, past, ours: true, untouched: true });
      const before = ours.find((f) => f.carried.thing !== null);
      const was = before === undefined ? 'new' : 'changed';
      const said = ours.some((f) => f.carried.version === version);
      if (value === null ? before !== undefined : !said) {
        this.tellFolder(thing, value === null ? 'removed' : was);
      }
    }
    for (const { path, text } of ours) {
      if (path === at) continue;
      if (await this.folder.remove(path, text)) this.notes.dropFile(path);
      else this.waiting += 1;
    }
    const known = thing.change === null ? this.looking.sums.get(key) : sum;
    this.remember(key, version, past, known);
  }

  private tellFolder(thing: Settled, what: 'new' | 'changed' | 'removed'): void {
    const { kind, id, decision, files, had } = thing;
    // What comes from the folder was told as it came into the library.
    const from = decision.library === 'is written' && decision.beside.length === 0;
    if (from) return;
    const value = decision.value ?? had ?? files.find((f) => f.carried.thing)?.carried.thing?.value;
    if (value === undefined || value === null) return;
    const where =
      what === 'removed'
        ? ('removed from the folder' as const)
        : (`${what} in the folder` as const);
    this.lines.push({ kind, id, title: kind.identityOf(value).title, what: where });
  }

  private remember(
    key: string,
    version: string | null,
    past: readonly string[],
    sum: number | undefined,
  ): void {
    this.notes.setThing(key, { version, past, ...(sum === undefined ? {} : { sum }) });
  }
}

/**
 * Does something with each, some at a time, since a browser takes longer to answer than to write. Where one fails
 * nothing more is begun, and what was begun is done first.
 */
async function lanes<T>(items: readonly T[], work: (item: T) => Promise<void>): Promise<void> {
  const left = items.values();
  let failed = false;
  const lane = async () => {
    for (const item of left) {
      if (failed) return;
      await work(item).catch((e: unknown) => {
        failed = true;
        throw e;
      });
    }
  };
  const done = await Promise.allSettled(Array.from({ length: LANES }, lane));
  for (const one of done) if (one.status === 'rejected') throw one.reason;
}

/** What was decided of one thing, with what it was decided from. */
interface Settled extends ThingName {
  readonly had: unknown;
  readonly files: readonly ReadFile[];
  readonly decision: Decision<unknown>;
  readonly change: LibraryChange | null;
}

/** Whether a file says all that is to be said. */
function saysSo(carried: Carried, version: string | null, past: readonly string[]): boolean {
  if (carried.version !== version || !carried.untouched) return false;
  const said = new Set(carried.past);
  return said.size >= MOST_PAST || past.every((p) => said.has(p));
}

function idOf({ kind, value }: Thing): string {
  return kind.identityOf(value).id;
}

function steppable(kind: AnyKind): Steppable<unknown> {
  const identityOf = (value: unknown) => kind.identityOf(value);
  const { joining } = kind;
  return {
    identityOf,
    ...(joining !== undefined && { joining }),
    withId: (value, id) => kind.withIdentity(value, { ...identityOf(value), id }),
    // What a kind has read is an object.
    olderForms: (value) => olderForms(kind.versions, value as object),
    withModified: (value, modified) => kind.withIdentity(value, { ...identityOf(value), modified }),
  };
}
