import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { FACTS_VERSION, type PhraseFacts } from '../core/library/facts';
import type { KnownFacts } from './types';

/** Phrases in a block: some milliseconds of reading. */
const BLOCK = 400;
/** The blocks have keys from 1; what lies before them is of `front.ts`. */
const FIRST = 0;

interface FactsDb extends DBSchema {
  /** JSON of `KnownFacts`, many in a text: one is read in a fraction of the time of its records. */
  blocks: {
    key: number;
    value: { readonly version: number; readonly text: string; readonly sum?: number };
  };
}

type Facts = IDBPDatabase<FactsDb>;

const opened = new Map<string, Promise<Facts>>();

/** The database of facts, opened once. */
export function openFacts(name: string): Promise<Facts> {
  const known = opened.get(name);
  if (known !== undefined) return known;
  const forget = () => void opened.delete(name);
  const opening = openDB<FactsDb>(name, 1, {
    upgrade: (made) => {
      made.createObjectStore('blocks', { autoIncrement: true });
    },
    blocking: () => void closeFacts(name),
    terminated: forget,
  });
  opened.set(name, opening);
  opening.catch(forget);
  return opening;
}

/** Ends it, so that it may be deleted. */
export async function closeFacts(name: string): Promise<void> {
  const db = opened.get(name);
  opened.delete(name);
  // One that did not open need not be closed.
  await db?.then((d) => d.close()).catch(() => undefined);
}

/** So many lists are known at most: those of any library but a strange one. */
const MOST_SHARED = 20_000;

/** Lists that many phrases have in common, their degrees above all, are kept once. */
class Shared {
  private readonly known = new Map<string, unknown>();

  of({ tags, key, chords, degrees, styleOf }: PhraseFacts) {
    return {
      tags: this.one(tags),
      key: this.one(key),
      chords: this.one(chords),
      degrees: this.one(degrees),
      styleOf: this.one(styleOf),
    };
  }

  private one<T>(value: T): T {
    const text = JSON.stringify(value);
    const known = this.known.get(text);
    // The same text stands for the same value.
    if (known !== undefined) return known as T;
    if (this.known.size < MOST_SHARED) this.known.set(text, value);
    return value;
  }
}

/**
 * What was read from phrases at an earlier opening, so that a list need not read them again. It lies in
 * a database of its own and may be missing at any time: all of it can be read from the phrases. What
 * it says counts only for the same content, so it is never out of date.
 */
export class FactsShelf {
  private readonly known = new Map<string, KnownFacts>();
  /** How many are on the disk, those that count no more among them. */
  private written = 0;
  private loaded: Promise<void> | null = null;
  private db: Facts | null = null;
  private isLoaded = false;

  constructor(private readonly name = 'degreewise-facts') {}

  /** Whether `load` has ended. */
  get ready(): boolean {
    return this.isLoaded;
  }

  /** Reads what is there, once; never fails. */
  load(): Promise<void> {
    this.loaded ??= this.read()
      .catch(() => undefined)
      .finally(() => {
        this.isLoaded = true;
      });
    return this.loaded;
  }

  get(id: string, sum: number): PhraseFacts | null {
    const found = this.known.get(id);
    return found?.sum === sum ? found.facts : null;
  }

  /**
   * Keeps facts for the next opening; best effort, in the background.
   * @param alive What the library has: facts of anything else go in time.
   */
  async keep(
    some: readonly KnownFacts[],
    alive: readonly { readonly id: string }[],
  ): Promise<void> {
    for (const one of some) this.known.set(one.id, one);
    if (this.db === null || some.length === 0) return;
    try {
      const all = this.written + some.length > 2 * alive.length + BLOCK;
      if (all) {
        const ids = new Set(alive.map((a) => a.id));
        for (const id of this.known.keys()) if (!ids.has(id)) this.known.delete(id);
      }
      await this.write(all ? [...this.known.values()] : some, all);
    } catch {
      // They are read from the phrases again.
    }
  }

  close(): void {
    this.db = null;
    void closeFacts(this.name);
  }

  private async read(): Promise<void> {
    this.db = await openFacts(this.name);
    const shared = new Shared();
    for (const key of await this.db.getAllKeys('blocks', IDBKeyRange.lowerBound(FIRST, true))) {
      const block = await this.db.get('blocks', key);
      if (block?.version !== FACTS_VERSION) {
        await this.db.delete('blocks', key);
        continue;
      }
      // This program wrote it, in this version.
      const list = JSON.parse(block.text) as readonly KnownFacts[];
      for (const { id, sum, facts } of list) {
        // One text for the id: each was parsed twice.
        this.known.set(id, { id, sum, facts: { ...facts, id, ...shared.of(facts) } });
      }
      this.written += list.length;
    }
  }

  private async write(list: readonly KnownFacts[], all: boolean): Promise<void> {
    const blocks: string[] = [];
    for (let at = 0; at < list.length; at += BLOCK) {
      blocks.push(JSON.stringify(list.slice(at, at + BLOCK)));
      await new Promise((resolve) => setTimeout(resolve));
    }
    const tx = this.db?.transaction('blocks', 'readwrite', { durability: 'relaxed' });
    if (tx === undefined) return;
    tx.done.catch(() => undefined);
    if (all) await tx.store.delete(IDBKeyRange.lowerBound(FIRST, true));
    for (const text of blocks) await tx.store.add({ version: FACTS_VERSION, text });
    await tx.done;
    this.written = list.length + (all ? 0 : this.written);
  }
}
