import type { AnyKind, Identity } from '../io/kinds/kind';
import type { Revision, Stored } from './types';

/** So many things are kept in memory at least, once somebody has looked at them. */
export const MOST_AT_HAND = 512;

/** Somebody looked at a thing that has to be read first: `load` it, or `peek`. Programmer's error. */
export class NotAtHand extends Error {
  constructor(id: string) {
    super(`${id} has to be loaded before it is looked at`);
  }
}

/** What is known of a thing without reading it. */
export interface About {
  readonly sum: number;
  readonly revision: Revision;
  readonly sample: boolean;
  readonly identity: Identity;
  readonly group: string | null;
}

/**
 * What was looked at last, of a library that holds more than memory should. Beyond that a value stays
 * as long as anybody else holds it, so that a page goes on seeing the same object.
 */
export class AtHand {
  /** The one that was looked at longest ago comes first. */
  private readonly recent = new Set<Cell>();

  constructor(private readonly most = MOST_AT_HAND) {}

  /** A place for one value; what is put there may be gone later. */
  cell(value: object | null = null): Cell {
    const cell = new Cell(this);
    if (value !== null) cell.put(value);
    return cell;
  }

  touch(cell: Cell): void {
    this.recent.delete(cell);
    this.recent.add(cell);
    if (this.recent.size <= this.most) return;
    for (const oldest of this.recent) {
      this.recent.delete(oldest);
      oldest.letGo();
      return;
    }
  }
}

/** The value of one thing, as long as it is at hand. */
export class Cell {
  private held: object | null = null;
  private seen: WeakRef<object> | null = null;

  constructor(private readonly all: AtHand) {}

  get(): object | null {
    const value = this.held ?? this.seen?.deref() ?? null;
    if (value === null) return null;
    this.held = value;
    this.all.touch(this);
    return value;
  }

  put(value: object): void {
    this.held = value;
    this.seen = new WeakRef(value);
    this.all.touch(this);
  }

  letGo(): void {
    this.held = null;
  }
}

/**
 * Something stored whose value is in a cell, if it is at hand. A class, since a library holds a hundred
 * thousand of them: an object with a getter of its own takes four times the memory.
 */
export class InCell implements Stored<unknown> {
  readonly sum: number;
  readonly identity: Identity;
  readonly revision: Revision;
  readonly sample: boolean;
  readonly group: string | null;

  constructor(
    { identity, sum, revision, sample, group }: About,
    readonly cell: Cell,
  ) {
    this.sum = sum;
    this.identity = identity;
    this.revision = revision;
    this.sample = sample;
    this.group = group;
  }

  get id(): string {
    return this.identity.id;
  }

  get value(): unknown {
    const value = this.cell.get();
    if (value === null) throw new NotAtHand(this.id);
    return value;
  }

  peek(): unknown {
    return this.cell.get();
  }
}

/** The cell of something stored that is in one. */
export function cellOf(stored: Stored<unknown>): Cell | null {
  return stored instanceof InCell ? stored.cell : null;
}

/** Something stored with its value. */
export function withValue<T>(
  kind: Pick<AnyKind, 'identityOf' | 'groupOf'>,
  value: T,
  about: Omit<About, 'identity' | 'group'>,
): Stored<T> {
  const identity = kind.identityOf(value);
  const group = kind.groupOf?.(value) ?? null;
  return { id: identity.id, identity, group, value, peek: () => value, ...about };
}
