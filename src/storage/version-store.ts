import type { DBSchema, IDBPDatabase } from 'idb';
import { isWorthKeeping, markOfKept, valueOfKept, versionsToDrop } from '../core/library/thinning';
import type { AnyKept, VersionMark, WhyKept } from '../core/library/versions';
import { kindOfKept } from '../io/kinds/file-kinds';
import { type Kind, readyFor } from '../io/kinds/kind';
import { KINDS } from '../io/kinds/kinds';
import { keyOf } from './record';
import { sealOf } from './seal';
import { SideDatabase } from './side-database';
import { keptTextsOf } from './version-texts';
import type {
  Replaced,
  Version,
  VersionKeeper,
  VersionName,
  VersionsSize,
  VersionsTaken,
  VersionTexts,
} from './versions';

/** Key of the record, when it was kept, when it was made, why: a list of keys says all that thinning asks. */
type Key = [id: string, kept: number, made: number, why: string];

interface VersionsDb extends DBSchema {
  versions: { key: Key; value: VersionRecord };
}

interface VersionRecord extends VersionMark {
  readonly id: string;
  /** As it stood in the library, in whatever version of the format. */
  readonly text: string;
  /** `sealOf` it, where it was checked; programs before wrote none. */
  readonly sum?: number;
}

type Db = IDBPDatabase<VersionsDb>;

/** So many are written in one transaction. */
const PIECE = 64;
/** So many are read at a time for a file. */
const CHUNK = 32;
/** So many are looked at to say how long they are, … */
const LOOKED_AT = 64;
/** … and so many names are read at a time to count them. */
const COUNTED = 4096;

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
  /** Of what was changed in this window: when something was kept of them last. */
  private readonly lastKept = new Map<string, number>();
  /** Something that was taken could not be written. */
  private lost = false;

  constructor(name: string) {
    this.side = new SideDatabase(name, (fresh) => {
      fresh.createObjectStore('versions', { keyPath: ['id', 'kept', 'made', 'why'] });
    });
  }

  replaced(some: readonly Replaced[], now: number): void {
    for (const one of some) this.waiting.push({ ...pick(one), now, why: 'edit' });
    this.timer ??= setTimeout(() => void this.flush());
  }

  async settled(): Promise<boolean> {
    await this.flush();
    return !this.lost;
  }

  async keep<T>(kind: Kind<T>, value: T, why: WhyKept, now: number): Promise<void> {
    await this.flush();
    const one = { ...sealed(kind, value), now, why };
    await this.side.inTurn(undefined, (db) => this.write(db, [one]));
  }

  async list<T>(kind: Kind<T>, id: string): Promise<readonly Version<T>[]> {
    await this.flush();
    await readyFor([kind]);
    const records = await this.side.inTurn<readonly unknown[]>([], (db) =>
      db.getAll('versions', allOf(keyOf(kind, id))),
    );
    return records.flatMap((r) => versionIn(kind, id, r) ?? []).sort((a, b) => b.kept - a.kept);
  }

  async size(of: ReadonlySet<string>): Promise<VersionsSize | null> {
    await this.flush();
    return this.side.inTurn<VersionsSize | null>(null, async (db) => {
      const names = await namesOf(db, of);
      const step = Math.max(1, Math.floor(names.length / LOOKED_AT));
      const some = names.filter((_, i) => i % step === 0);
      const texts = await Promise.all(
        some.map(async (key) => (await db.get('versions', key))?.text),
      );
      const characters = texts.reduce((sum, text) => sum + (text?.length ?? 0), 0);
      return {
        versions: names.length,
        characters: some.length === 0 ? 0 : (characters / some.length) * names.length,
      };
    });
  }

  async *texts(of: ReadonlySet<string>): AsyncGenerator<VersionTexts, void> {
    await this.flush();
    await readyFor(KINDS.filter((k) => k.keepsPast));
    let after: Key | null = null;
    do {
      const range: IDBKeyRange | null = after && IDBKeyRange.lowerBound(after, true);
      const records: readonly VersionRecord[] | null = await this.side.inTurn<
        readonly VersionRecord[] | null
      >(null, (db) => db.getAll('versions', range, CHUNK));
      if (records === null) throw new Error('the earlier versions cannot be read');
      const last: VersionRecord | undefined = records.at(-1);
      after = last === undefined ? null : [last.id, last.kept, last.made, last.why];
      yield keptTextsOf(records, of);
    } while (after !== null);
  }

  async take(some: readonly AnyKept[], now: number): Promise<VersionsTaken> {
    await this.flush();
    const came: VersionName[] = [];
    for (let at = 0; at < some.length; at += PIECE) {
      const piece = some.slice(at, at + PIECE);
      const taken = await this.side.inTurn<readonly VersionName[] | null>(null, (db) =>
        this.takeIn(db, piece, now),
      );
      if (taken === null) return { came, whole: false };
      came.push(...taken);
    }
    return { came, whole: true };
  }

  withdraw(some: readonly VersionName[]): Promise<boolean> {
    return this.side.inTurn(some.length === 0, async (db) => {
      const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
      const keys = some.map(({ id, kept, made, why }): Key => [id, kept, made, why]);
      await Promise.all([...keys.map((key) => tx.store.delete(key)), tx.done]);
      return true;
    });
  }

  forget(keys: readonly string[]): void {
    for (const key of keys) this.lastKept.delete(key);
    void this.flush();
    void this.side.inTurn(undefined, async (db) => {
      const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
      await Promise.all([...keys.map((key) => tx.store.delete(allOf(key))), tx.done]);
    });
  }

  prune(known: ReadonlySet<string>, before: number): Promise<void> {
    return this.side.inTurn(undefined, async (db) => {
      const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
      const orphans: string[] = [];
      // One step each, to the newest of its versions.
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
      void this.side
        .inTurn(false, (db) => this.write(db, some).then(() => true))
        .then((kept) => {
          this.lost ||= !kept;
        });
    }
    return this.side.idle();
  }

  /** @returns those that are new. */
  private async takeIn(
    db: Db,
    some: readonly AnyKept[],
    now: number,
  ): Promise<readonly VersionName[]> {
    const tx = db.transaction('versions', 'readwrite', { durability: 'relaxed' });
    // Awaited below; if reading fails before, that is the failure that counts.
    tx.done.catch(NOTHING);
    const came: VersionName[] = [];
    for (const kept of some) {
      const mark = markOfKept(kept);
      const record: VersionRecord = { ...sealed(kindOfKept(kept), valueOfKept(kept)), ...mark };
      const keys = await tx.store.getAllKeys(allOf(record.id));
      // What was written at one moment is one version, whenever something else took its place here and there.
      const alike = keys.filter(([, , made]) => made === mark.made);
      const texts = await Promise.all(alike.map((key) => tx.store.get(key)));
      if (alike.some(([, at, , why], i) => isSame(record, at, why, texts[i]?.text))) continue;
      // What comes in takes the room that is left: it drives out nothing that is kept here.
      const here = keys.map(markIn);
      const dropped = (some: readonly (VersionMark & { readonly key: Key | null })[]) =>
        versionsToDrop(some, now).map(({ key }) => key);
      const alone = dropped(here);
      const both = dropped([...here, { ...mark, key: null }]);
      if (both.some((key) => key === null || !alone.includes(key))) continue;
      await tx.store.put(record);
      came.push({ id: record.id, ...mark });
    }
    await tx.done;
    return came;
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
        tx.store.put({ ...pick({ id, ...w }), ...mark }),
        ...drop.map((key) => tx.store.delete(key)),
      ]);
    };
    // One after the other: two of one may have come together.
    for (const w of worth) await one(w);
    await tx.done;
  }
}

const NOTHING = () => undefined;

function pick({ id, text, sum }: Replaced): Replaced {
  return { id, text, ...(sum !== undefined && { sum }) };
}

/** @param value Was checked. */
function sealed<T>(kind: Kind<T>, value: T): Replaced {
  const text = JSON.stringify(value);
  const key = keyOf(kind, kind.identityOf(value).id);
  return { id: key, text, sum: sealOf(kind, key, text) };
}

/** Whether a version is one that is there: kept at the same moment, or the same to the letter. */
function isSame(one: VersionRecord, kept: number, why: string, text: string | undefined): boolean {
  return one.text === text || (one.kept === kept && one.why === why);
}

/** The keys of all versions of some things. */
async function namesOf(db: Db, of: ReadonlySet<string>): Promise<readonly Key[]> {
  const names: Key[] = [];
  let last: Key | undefined;
  do {
    const range: IDBKeyRange | null =
      last === undefined ? null : IDBKeyRange.lowerBound(last, true);
    const some = await db.getAllKeys('versions', range, COUNTED);
    names.push(...some.filter(([id]) => of.has(id)));
    last = some.at(-1);
  } while (last !== undefined);
  return names;
}

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

function versionIn<T>(kind: Kind<T>, of: string, record: unknown): Version<T> | null {
  if (typeof record !== 'object' || record === null) return null;
  const { text, kept, made, why } = record as { [name in keyof VersionRecord]?: unknown };
  if (typeof kept !== 'number' || typeof made !== 'number') return null;
  const read = kind.decode(text);
  if (!read.ok || kind.identityOf(read.value).id !== of) return null;
  return { ...markIn([of, kept, made, String(why)]), value: read.value };
}
