import type { Phrase } from '../core/phrase/types';
import { type AnyKind, type Kind, readyFor } from '../io/kinds/kind';
import { KINDS, PHRASES } from '../io/kinds/kinds';
import { addedPhrases, savedPhrase, savedPhrases, storedPhrase } from './as-phrase';
import type { Backend } from './backend';
import { Connection } from './connection';
import type { LibraryDeps } from './deps';
import { KindRecords } from './kind-store';
import { partsOf } from './record';
import { isRefusal } from './refusal';
import { Things } from './things';
import type {
  KindStore,
  LibraryStore,
  RemoveResult,
  Revision,
  SaveItem,
  SeedResult,
  Stored,
  StoredPhrase,
  ThingStore,
} from './types';
import type { VersionKeeper } from './versions';
import { discardDamaged, type Prepared, removeRecords, seed } from './writes';

/**
 * A library over any keeper of records. It begins to open at once.
 * @param kinds What it can hold.
 */
export function createLibrary(
  backend: Backend,
  deps: LibraryDeps,
  kinds: readonly AnyKind[] = KINDS,
): LibraryStore {
  return new Library(new Connection(backend, deps, kinds), kinds);
}

class Library implements LibraryStore {
  readonly things: ThingStore;
  readonly versions: VersionKeeper | null;
  private readonly phrases: KindStore<Phrase>;
  private readonly stores = new Map<string, unknown>();

  constructor(
    private readonly connection: Connection,
    readonly kinds: readonly AnyKind[],
  ) {
    this.things = new Things(connection);
    this.versions = connection.deps.versions ?? null;
    this.phrases = this.of(PHRASES);
  }

  snapshot = () => this.connection.view.snapshot();
  subscribe = (listener: () => void) => this.connection.view.subscribe(listener);
  phrase = (id: string) => this.connection.view.phrase(id);
  lookThrough = () => this.connection.lookThrough();
  inBulk = <T>(work: () => Promise<T>) => this.connection.view.inBulk(work);
  opened = () => this.connection.opened();
  reopen = () => this.connection.reopen();
  keepFront: LibraryStore['keepFront'] = (of, first) => this.connection.keepFront(of, first);
  refresh = () => this.connection.refresh();
  close = () => this.connection.close();
  onClosing = (flush: () => Promise<void>) => this.connection.onClosing(flush);

  of<T>(kind: Kind<T>): KindStore<T> {
    if (!this.kinds.includes(kind)) throw new RangeError(`this library holds no ${kind.name}`);
    const known = this.stores.get(kind.name) ?? new KindRecords(kind, this.connection);
    this.stores.set(kind.name, known);
    // What stands under a kind's name was made for that kind.
    return known as KindStore<T>;
  }

  async load(id: string): Promise<StoredPhrase | null> {
    return (await this.loadAll([id]))[0] ?? null;
  }

  async loadAll(ids: readonly string[]): Promise<readonly StoredPhrase[]> {
    return (await this.phrases.load(ids)).map(storedPhrase);
  }

  texts(ids: readonly string[]): AsyncIterable<readonly string[]> {
    return this.phrases.texts(ids);
  }

  async save(phrase: Phrase, base: Revision | null) {
    return savedPhrase(await this.phrases.save(phrase, base));
  }

  async saveAll(items: readonly SaveItem[]) {
    const all = items.map(({ phrase, base }) => ({ value: phrase, base }));
    return savedPhrases(await this.phrases.saveAll(all));
  }

  async add(phrases: readonly Phrase[]) {
    return addedPhrases(await this.phrases.add(phrases));
  }

  remove(ids: readonly string[]): Promise<RemoveResult> {
    return this.phrases.remove(ids);
  }

  restore(ids: readonly string[]): Promise<RemoveResult> {
    return this.phrases.restore(ids);
  }

  async seedSamples(phrases: readonly Phrase[]): Promise<SeedResult> {
    const { connection } = this;
    const prepared = phrases.map((value): Prepared => {
      return { kind: PHRASES, key: value.id, id: value.id, value, text: JSON.stringify(value) };
    });
    const result = await connection.write((r) => seed(r, prepared, connection.deps.now()));
    if (isRefusal(result)) return result;
    if (result.value === null) return { kind: 'seeded before' };
    // They are what was prepared, and those are phrases.
    const stored = result.value as readonly Stored<Phrase>[];
    return { kind: 'seeded', stored: stored.map(storedPhrase) };
  }

  async removeSamples(): Promise<RemoveResult> {
    const { connection } = this;
    const keys = connection.view.sampleKeys();
    const result = await connection.write((r) =>
      removeRecords(r, keys, connection.deps.now(), (record) => record.sample === true),
    );
    if (isRefusal(result)) return result;
    return { kind: 'done', ids: result.value.map((key) => partsOf(key).id) };
  }

  async discard(keys: readonly string[]): Promise<RemoveResult> {
    const { connection, kinds } = this;
    const unreadable = new Set(
      keys.filter((k) => connection.view.problem(k)?.kind === 'unreadable'),
    );
    await readyFor(kinds);
    const result = await connection.write((r) => discardDamaged(r, keys, unreadable, kinds));
    return isRefusal(result) ? result : { kind: 'done', ids: result.value };
  }
}
