import type { AnyKind } from '../io/kinds/kind';
import { KeyedList } from './lists';
import type { Stored } from './types';

/** What is stored by kinds, and by groups of those that have them: a change costs a copy of its lists. */
export class KindLists {
  private readonly lists = new Map<string, KeyedList<Stored<unknown>>>();
  private readonly published = new Map<string, readonly Stored<unknown>[]>();
  /** Names of lists of which something changed since they were published. */
  private readonly stale = new Set<string>();
  /** One text for each group: many things have it. */
  private readonly groups = new Map<string, string>();

  /** Everything of a kind, or of a group, that was published; the same list until one of them changes. */
  of(kind: AnyKind, group: string | null = null): readonly Stored<unknown>[] {
    return this.published.get(nameOf(kind, group)) ?? NONE;
  }

  /** The same name, as the same text. */
  oneName(group: string | null): string | null {
    if (group === null) return null;
    const known = this.groups.get(group);
    if (known === undefined) this.groups.set(group, group);
    return known ?? group;
  }

  /** @param before What stood under the key; it may have been in another group. */
  set(
    kind: AnyKind,
    key: string,
    before: Stored<unknown> | null,
    now: Stored<unknown> | null,
  ): void {
    if (before?.group != null && before.group !== now?.group)
      this.put(nameOf(kind, before.group), key, null);
    if (now?.group != null) this.put(nameOf(kind, now.group), key, now);
    this.put(nameOf(kind, null), key, now);
  }

  /** Whether anything of a kind changed since. */
  isStale(kind: AnyKind): boolean {
    return this.stale.has(nameOf(kind, null));
  }

  /** @returns whether anything had changed. */
  publish(): boolean {
    const any = this.stale.size > 0;
    for (const name of this.stale) this.published.set(name, this.lists.get(name)?.now() ?? NONE);
    this.stale.clear();
    return any;
  }

  private put(name: string, key: string, now: Stored<unknown> | null): void {
    this.stale.add(name);
    const list = this.lists.get(name) ?? new KeyedList();
    this.lists.set(name, list);
    if (now === null) list.delete(key);
    else list.set(key, now);
  }
}

const nameOf = (kind: AnyKind, group: string | null): string =>
  group === null ? kind.name : `${kind.name} ${group}`;

const NONE: readonly Stored<unknown>[] = [];
