import type { AnyKind, Thing } from '../kinds/kind';
import { KINDS } from '../kinds/kinds';
import {
  type CarriedLibrary,
  keyOf,
  type LibraryChange,
  type LibraryEntry,
  type ThingName,
} from './ports';

/** A library that is in memory as a whole, as the command line has one. */
export class FileLibrary implements CarriedLibrary {
  readonly kinds: readonly AnyKind[] = KINDS;
  /** Whether it is another than it was. */
  changed = false;
  private readonly things = new Map<string, Thing>();

  constructor(things: readonly Thing[]) {
    for (const { kind, value } of things) {
      this.things.set(keyOf({ kind, id: kind.identityOf(value).id }), { kind, value });
    }
  }

  /** In the order in which they came. */
  all(): readonly Thing[] {
    return [...this.things.values()];
  }

  *entries(): Generator<LibraryEntry> {
    for (const { kind, value } of this.things.values()) {
      const { id, title } = kind.identityOf(value);
      yield { kind, id, title };
    }
  }

  async load(names: readonly ThingName[]): Promise<readonly Thing[]> {
    return names.flatMap((n) => this.things.get(keyOf(n)) ?? []);
  }

  /** From outside: what is new or another. */
  put({ kind, value }: Thing): void {
    this.things.set(keyOf({ kind, id: kind.identityOf(value).id }), { kind, value });
  }

  /** From outside: what was removed. */
  drop(name: ThingName): void {
    this.things.delete(keyOf(name));
  }

  get(name: ThingName): unknown {
    return this.things.get(keyOf(name))?.value ?? null;
  }

  async take(changes: readonly LibraryChange[]): Promise<ReadonlyMap<string, undefined>> {
    const done = new Map<string, undefined>();
    for (const { kind, id, was, value } of changes) {
      if (this.get({ kind, id }) !== was) continue;
      if (value === null) this.drop({ kind, id });
      else this.put({ kind, value });
      this.changed = true;
      done.set(keyOf({ kind, id }), undefined);
    }
    return done;
  }
}
