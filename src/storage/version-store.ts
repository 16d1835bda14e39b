import type { DBSchema, IDBPDatabase } from 'idb';
import {
  isWorthKeeping,
  type VersionMark,
  versionsToDrop,
  type WhyKept,
} from '../core/library/versions';
import type { Phrase } from '../core/phrase/types';
import { readyFor } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import { SideDatabase } from './side-database';
import type { Replaced, Version, VersionKeeper } from './versions';

/** Phrase, when it was kept, when it was made, why: a list of keys says all that thinning asks. */
type Key = [id: string, kept: number, made: number, why: string];

interface VersionsDb extends DBSchema {
  versions: { key: Key; value: VersionRecord };
}

interface VersionRecord extends VersionMark {
  readonly id: string;
  /** As it stood in the library, in whatever version of the format. */
  readonly text: string;
}

type Db = IDBPDatabase<VersionsDb>;

/** Phrases whose versions are written in one transaction. */
const PIECE = 64;

interface Waiting extends Replaced {
  readonly now: number;
  readonly why: WhyKept;
}

/** Opens the earlier versions of this browser, in a database of their own. */
export function openVersions(name: string): VersionKeeper {
  return new IdbVersions(name);
}

class IdbVersions implements VersionKeeper {
  private readonly side: SideDatabase<VersionsDb>;
  private waiting: Waiting[] = [];
  private timer: ReturnType<typeof setTimeout> | null = null;
  /** Of phrases changed in this window: when something was kept of them last. */
  private readonly lastKept = new Map<string, number>();

  constructor(name: string) {
    this.side = new SideDatabase(name, (fresh) => {
      fresh.createObjectStore('versions', { keyPath: ['id', 'kept', 'made', 'why'] });
    });
  }

  replaced(some: readonly Replaced[], now: number): void {
    for (const { id, text } of some) this.waiting.push({ id, text, now, why: 'edit' });
    this.timer ??= setTimeout(() => void this.flush());
  }

  settled(): Promise<void> {
    return this.flush();
  }

  async keep(phrase: Phrase, why: WhyKept, now: number): Promise<void> {
    await this.flush();
    await this.side.inTurn(undefined, (db) =>
      this.write(db, [{ id: phrase.id, text: JSON.stringify(phrase), now, why }]),
    );
  }

  async list(id: string): Promise<readonly Version[]> {
    await this.flush();
    await readyFor([PHRASES]);
    const records = await this.side.inTurn<readonly unknown[]>([], (db) =>
      db.getAll('versions', allOf(id)),
    );
    return records.flatMap((r) => versionIn(r) ?? []).sort((a, b) => b.kept - a.kept);
  }

  forget(ids: readonly string[]): void {
    for (const id of ids) this.lastKept.delete(id);
    void this.flush();
    void this.side.inTurn(undefined, async (db) => {
      const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
      await Promise.all([...ids.map((id) => tx.store.delete(allOf(id))), tx.done]);
    });
  }

  prune(known: ReadonlySet<string>, before: number): Promise<void> {
    return this.side.inTurn(undefined, async (db) => {
      const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
      const orphans: string[] = [];
      // One step a phrase, to the newest of its versions.
      let cursor = await tx.store.openKeyCursor(null, 'prev');
      while (cursor !== null) {
        const [id, kept] = cursor.key;
        if (!known.has(id) && kept < before) orphans.push(id);
        cursor = await cursor.continue([id, Number.NEGATIVE_INFINITY, 0, '']);
      }
      await Promise.all([...orphans.map((id) => tx.store.delete(allOf(id))), tx.done]);
    });
  }

  async close(): Promise<void> {
    await this.flush();
    this.side.close();
  }

  private flush(): Promise<void> {
    if (this.timer !== null) clearTimeout(this.timer);
    this.timer = null;
    const taken = this.waiting;
    this.waiting = [];
    for (let at = 0; at < taken.length; at += PIECE) {
      const some = taken.slice(at, at + PIECE);
      void this.side.inTurn(undefined, (db) => this.write(db, some));
    }
    return this.side.idle();
  }

  private async write(db: Db, some: readonly Waiting[]): Promise<void> {
    // Most saves follow another within a moment: they need no look at the disk.
    const worth = some.filter(({ id, ...w }) =>
      isWorthKeeping(markOf(w), this.lastKept.get(id) ?? null),
    );
    if (worth.length === 0) return;
    const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
    // Awaited below; if reading fails before, that is the failure that counts.
    tx.done.catch(NOTHING);
    const one = async ({ id, ...w }: Waiting) => {
      const mark = markOf(w);
      const keys = await tx.store.getAllKeys(allOf(id));
      const last = keys.at(-1);
      const there = keys.some(([, , made]) => made === mark.made);
      if (!isWorthKeeping(mark, last?.[1] ?? null) || (there && mark.why === 'edit')) {
        if (last !== undefined) this.lastKept.set(id, last[1]);
        return;
      }
      this.lastKept.set(id, mark.kept);
      const marks = [...keys.map(markIn), { ...mark, key: null }];
      const drop = versionsToDrop(marks, mark.kept).flatMap(({ key }) =>
        key === null ? [] : [key],
      );
      await Promise.all([
        tx.store.put({ id, ...mark, text: w.text }),
        ...drop.map((key) => tx.store.delete(key)),
      ]);
    };
    // One after the other: two of one phrase may have come together.
    for (const w of worth) await one(w);
    await tx.done;
  }
}

const NOTHING = () => undefined;

const allOf = (id: string): IDBKeyRange =>
  IDBKeyRange.bound([id, Number.NEGATIVE_INFINITY], [id, Number.POSITIVE_INFINITY]);

function markIn(key: Key): VersionMark & { readonly key: Key } {
  const [, kept, made, why] = key;
  return { kept, made, why: why === 'restore' || why === 'merge' ? why : 'edit', key };
}

/** @param text Was checked when it was written; of one that was not, the time is unknown. */
function markOf({ text, now, why }: Omit<Waiting, 'id'>): VersionMark {
  return { kept: now, made: madeIn(text) ?? now, why };
}

function madeIn(text: string): number | null {
  try {
    const made = Date.parse(JSON.parse(text).meta.modified);
    return Number.isFinite(made) ? made : null;
  } catch {
    return null;
  }
}

function versionIn(record: unknown): Version | null {
  if (typeof record !== 'object' || record === null) return null;
  const { id, text, kept, made, why } = record as { [name in keyof VersionRecord]?: unknown };
  if (typeof kept !== 'number' || typeof made !== 'number') return null;
  const read = PHRASES.decode(text);
  if (!read.ok || read.value.id !== id) return null;
  return { ...markIn([read.value.id, kept, made, String(why)]), phrase: read.value };
}
