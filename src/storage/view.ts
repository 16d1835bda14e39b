import type { Phrase } from '../core/phrase/types';
import type { AnyKind, Kind } from '../io/kinds/kind';
import { KINDS, PHRASES } from '../io/kinds/kinds';
import { phraseEntry } from './as-phrase';
import { AtHand, cellOf, InCell } from './at-hand';
import type { Head } from './head';
import { KindLists } from './kind-lists';
import { aboutOf, alike, revisionIn, revisionOf } from './known';
import { KeyedList } from './lists';
import { type Item, keyOf, partsOf, type RawRecord, type ReadRecord, readRecord } from './record';
import { Snapshots } from './snapshots';
import type { PhraseEntry, Revision, Stored, StoreProblem } from './types';
import type { Change } from './writes';

/** The library as this window has it, and who listens. */
export class View extends Snapshots {
  /** What this window knows of each record. */
  private readonly records = new Map<string, ReadRecord>();
  /** Everything of each kind. */
  private readonly lists = new KindLists();
  private readonly phrases = new KeyedList<PhraseEntry>();
  /** Ids of the phrases of which something changed since. */
  private news = new Set<string>();
  private readonly problems = new Map<string, StoreProblem>();
  private problemsStale = false;
  /** What was removed is not what it was: more of it, or some is back or gone for good. */
  private removedStale = false;
  /** Keys of what was checked when it was read, since its record does not say that it was before. */
  private readonly unchecked = new Set<string>();
  private readonly atHand = new AtHand();
  /** So many works are under way whose changes are shown when they end. */
  private bulk = 0;

  constructor(
    lasting: boolean,
    readonly kinds: readonly AnyKind[] = KINDS,
  ) {
    super(lasting);
  }

  clear(): void {
    for (const key of [...this.records.keys()]) this.set(key, null);
  }

  problem(key: string): StoreProblem | null {
    const known = this.records.get(key);
    return known?.kind === 'problem' ? known.problem : null;
  }

  /** Everything of a kind that was published; the same list until one of them changes. */
  list<T>(kind: Kind<T>): readonly Stored<T>[] {
    // What stands under a kind's name was decoded by that kind.
    return this.lists.of(kind) as readonly Stored<T>[];
  }

  /** Those of one group that were published, as `list`. */
  group<T>(kind: Kind<T>, group: string): readonly Stored<T>[] {
    return this.lists.of(kind, group) as readonly Stored<T>[];
  }

  get<T>(kind: Kind<T>, id: string): Stored<T> | null {
    // What stands under a kind's key was decoded by that kind.
    return this.stored(keyOf(kind, id)) as Stored<T> | null;
  }

  phrase(id: string): PhraseEntry | null {
    const stored = this.get<Phrase>(PHRASES, id);
    return stored === null ? null : phraseEntry(stored);
  }

  /** How many records are known, those that were removed or are damaged among them. */
  get size(): number {
    return this.records.size;
  }

  keys(): Iterable<string> {
    return this.records.keys();
  }

  /** Whether something is there whose value is not at hand. */
  isFar(key: string): boolean {
    return this.stored(key)?.peek() === null;
  }

  stored(key: string): Stored<unknown> | null {
    const known = this.records.get(key);
    return known?.kind === 'item' ? known.item.stored : null;
  }

  /** Whether this window knows that something lies under a key. */
  knows(key: string): boolean {
    return this.records.has(key);
  }

  /** Keys of what is as it was laid in. */
  sampleKeys(): readonly string[] {
    return [...this.records].flatMap(([key, k]) =>
      k.kind === 'item' && k.item.stored.sample ? [key] : [],
    );
  }

  /** What was checked when it was read, since its record does not say that it was before. */
  unsealed(most: number): readonly Item[] {
    const some: Item[] = [];
    for (const key of this.unchecked) {
      const known = this.records.get(key);
      if (known?.kind === 'item' && some.push(known.item) === most) break;
    }
    return some;
  }

  /** They say so now. */
  sealed(items: readonly Item[]): void {
    for (const item of items) {
      const known = this.records.get(item.key);
      if (known?.kind !== 'item' || known.item !== item) continue;
      this.records.set(item.key, { kind: 'item', item: { ...item, sealed: true } });
      this.unchecked.delete(item.key);
    }
  }

  /** What was removed, and when. */
  removed(): readonly { readonly key: string; readonly removed: number }[] {
    return [...this.records].flatMap(([key, k]) =>
      k.kind === 'removed' ? [{ key, removed: k.removed }] : [],
    );
  }

  /** Keys of what was removed at a time for which `test` holds. */
  removedKeys(test: (removed: number) => boolean): readonly string[] {
    return [...this.records].flatMap(([key, k]) =>
      k.kind === 'removed' && test(k.removed) ? [key] : [],
    );
  }

  /**
   * Takes what is known of records without having read them.
   * @returns keys of those that have to be read: few, in most libraries.
   */
  takeHeads(heads: readonly Head[]): readonly string[] {
    return heads.flatMap((head) => {
      const { key, revision, removed, sum, sample, identity } = head;
      const group = this.lists.oneName(head.group);
      if (removed !== null) {
        this.setNewer(key, { kind: 'removed', revision, removed, item: null });
        return [];
      }
      const kind = this.kinds.find((k) => k.name === partsOf(key).name);
      if (kind?.onDemand !== true || sum === null || identity === null) return [key];
      // An older program does not write it.
      if (kind.groupOf !== undefined && group === null) return [key];
      const about = { sum, revision, sample, identity, group };
      const stored = new InCell(about, this.atHand.cell());
      this.setNewer(key, { kind: 'item', item: { key, kind, stored, sealed: true } });
      return [];
    });
  }

  /** Takes values that were read ahead, as far as they are those of what is known. */
  takeAhead(items: readonly Item[]): void {
    for (const { key, stored } of items) {
      const known = this.records.get(key);
      if (known?.kind !== 'item' || known.item.stored.sum !== stored.sum) continue;
      cellOf(known.item.stored)?.put(Object(stored.value));
    }
  }

  /**
   * Takes records that were asked for: their values are at hand now. One that is not what is known of
   * it is taken as any news.
   */
  takeLoaded(raws: readonly RawRecord[]): void {
    for (const raw of raws) {
      const known = this.records.get(raw.key);
      const read = readRecord(raw, this.kinds);
      const same =
        known?.kind === 'item' &&
        read.kind === 'item' &&
        known.item.stored.revision === read.item.stored.revision &&
        known.item.stored.sum === read.item.stored.sum;
      if (same) {
        cellOf(known.item.stored)?.put(Object(read.item.stored.value));
        if (!read.item.sealed) this.unchecked.add(raw.key);
      } else if (read.kind === 'problem' || revisionIn(raw) >= revisionOf(known ?? read))
        this.set(raw.key, read);
    }
  }

  /**
   * Takes what became of records since they were read, damage above all; nothing of it is kept at hand.
   * @returns keys of those that were known in an older revision.
   */
  takeLooked(raws: readonly RawRecord[]): readonly string[] {
    const older: string[] = [];
    for (const raw of raws) {
      const known = this.records.get(raw.key);
      const read = readRecord(raw, this.kinds);
      if (read.kind !== 'problem') {
        if (known !== undefined && revisionIn(raw) <= revisionOf(known)) continue;
        if (known !== undefined) older.push(raw.key);
        this.set(raw.key, read);
      } else if (known?.kind !== 'problem' || !alike(known.problem, read.problem))
        this.set(raw.key, read);
    }
    return older;
  }

  /**
   * Takes records as they were read. One that this window knows in the same or a later revision is
   * not looked at, so what did not change stays the same object.
   * @returns the highest revision among them.
   */
  takeRecords(raws: readonly RawRecord[]): Revision {
    let highest: Revision = 0;
    for (const raw of raws) {
      const revision = revisionIn(raw);
      highest = Math.max(highest, revision);
      const known = this.records.get(raw.key);
      if (known !== undefined && known.kind !== 'problem' && revisionOf(known) >= revision)
        continue;
      const read = readRecord(raw, this.kinds);
      if (
        known?.kind !== 'problem' ||
        read.kind !== 'problem' ||
        !alike(known.problem, read.problem)
      )
        this.set(raw.key, read);
    }
    return highest;
  }

  takeChanges(changes: readonly Change[], now: number): void {
    for (const c of changes) {
      if (c.kind === 'gone') this.set(c.key, null);
      else if (c.kind === 'put') this.setNewer(c.item.key, { kind: 'item', item: c.item });
      else if (c.kind === 'restored') this.bringBack(c);
      else {
        const was = this.records.get(c.key);
        // Another window may have written it since it was read here.
        const known = was?.kind === 'item' && was.item.stored.revision === c.before;
        const item = known ? was.item : null;
        this.setNewer(c.key, { kind: 'removed', revision: c.revision, removed: now, item });
      }
    }
  }

  /** Forgets records that are no longer there. */
  forget(keys: readonly string[]): void {
    for (const k of keys) this.set(k, null);
  }

  /** Makes no snapshot of records until the work ends. */
  async inBulk<T>(work: () => Promise<T>): Promise<T> {
    this.bulk += 1;
    try {
      return await work();
    } finally {
      this.bulk -= 1;
      this.publishRecords();
    }
  }

  /** Makes the snapshot anew if anything in it changed, and tells the listeners. */
  publishRecords(): void {
    if (this.bulk > 0) return;
    const changed = this.lists.isStale(PHRASES);
    if (!this.lists.publish() && !this.problemsStale && !this.removedStale) return;
    const { phrases: before } = this.current;
    const phrases = changed ? this.phrases.now() : before;
    const news = changed ? { before, ids: this.news } : this.current.news;
    if (changed) this.news = new Set();
    const next = this.problemsStale ? [...this.problems.values()] : this.current.problems;
    // How the list begins is known anew from the list.
    const front = changed ? null : this.current.front;
    this.problemsStale = false;
    this.removedStale = false;
    this.publish({ ...this.current, phrases, news, front, problems: next });
  }

  private bringBack({ record, before }: Extract<Change, { kind: 'restored' }>): void {
    const key = record.id;
    const known = this.records.get(key);
    if (known?.kind === 'removed' && known.revision === before && known.item !== null) {
      // Its text is what it was when it was removed here.
      const { stored: was } = known.item;
      const about = { ...aboutOf(was), revision: record.revision };
      const cell = cellOf(was);
      const stored = cell === null ? { ...was, ...about } : new InCell(about, cell);
      this.set(key, { kind: 'item', item: { ...known.item, stored } });
    } else this.takeRecords([{ key, value: record }]);
  }

  private setNewer(key: string, known: ReadRecord): void {
    const before = this.records.get(key);
    if (before !== undefined && before.kind !== 'problem' && revisionOf(before) > revisionOf(known))
      return;
    this.set(key, known);
  }

  /** @param given Null for a record that is gone. */
  private set(key: string, given: ReadRecord | null): void {
    const before = this.records.get(key);
    const known = given?.kind === 'item' ? this.kept(given) : given;
    if (known === null) this.records.delete(key);
    else this.records.set(key, known);
    this.unchecked.delete(key);
    if ((before?.kind === 'removed') !== (known?.kind === 'removed')) this.removedStale = true;
    if (before?.kind === 'problem') this.problems.delete(key);
    if (known?.kind === 'problem') this.problems.set(key, known.problem);
    const was = before?.kind === 'item' ? before.item : null;
    const is = known?.kind === 'item' ? known.item : null;
    if (is?.sealed === false) this.unchecked.add(key);
    const kind = (is ?? was)?.kind;
    if (kind !== undefined) this.putItem(kind, key, was?.stored ?? null, is?.stored ?? null);
    if (before?.kind === 'problem' || known?.kind === 'problem') this.problemsStale = true;
  }

  private putItem(
    kind: AnyKind,
    key: string,
    was: Stored<unknown> | null,
    is: Stored<unknown> | null,
  ): void {
    this.lists.set(kind, key, was, is);
    if (kind.name !== PHRASES.name) return;
    this.news.add(key);
    // What stands under a kind's key was decoded by that kind.
    if (is === null) this.phrases.delete(key);
    else this.phrases.set(key, phraseEntry(is as Stored<Phrase>));
  }

  /** Of what is read on demand the value is kept only as long as there are not too many. */
  private kept(known: Extract<ReadRecord, { kind: 'item' }>): ReadRecord {
    const { item } = known;
    // Without a disk there is nothing to read it from again.
    if (item.kind.onDemand !== true || !this.current.lasting) return known;
    if (cellOf(item.stored) !== null) return known;
    const cell = this.atHand.cell(Object(item.stored.value));
    return { kind: 'item', item: { ...item, stored: new InCell(aboutOf(item.stored), cell) } };
  }
}
