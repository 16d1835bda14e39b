import type { Around } from '../../../core/library/around';
import type { Phrase } from '../../../core/phrase/types';
import { fail, ok, type Result } from '../../../core/result';
import type { Asked } from '../../../core/search/catalogue/answer';
import type { Answered, LikeOne, TwinsFound } from '../../../core/search/finder';
import type { LibraryStore, PhraseEntry, StoredPhrase } from '../../../storage/types';
import { NotThere, whyMissing } from '../../shared/on-demand';
import { aroundLibrary } from '../around-library';
import { type IdList, idList } from './id-list';
import type { Answers, FromIndex, Question, ToIndex } from './messages';

/** Phrases sent at a time: few enough for neither side to be held up. */
const SENT = 64;
/** So many times that are under way at once: the page reads the next while the index takes the last. */
const AHEAD = 2;
/** Milliseconds of work between two chances for the page to answer, and so many are passed before the clock is looked at. */
const SLICE = 8;
const OFTEN = 256;
/** Milliseconds between two looks at answers while the index grows. */
const TELL = 400;

/** What was found for a text. */
export interface FoundIds extends Omit<Answered, 'ids'> {
  readonly ids: IdList;
}

/** How far the index has come. */
export interface IndexState {
  /** Grows whenever an answer may be another than before. */
  readonly version: number;
  /** Null while all of the library is in the index. */
  readonly reading: { readonly done: number; readonly total: number } | null;
  /** There was no room on the device to keep the index: each start reads the library. */
  readonly unkept: boolean;
  /** Why there will be no answer, in words. */
  readonly trouble: string | null;
}

/**
 * The index of a library, which lives in a worker and is kept in step with the library: what is
 * saved, removed or brought in is told to it, in slices.
 */
export class SearchClient {
  private readonly worker: Worker;
  /** The index has been told what the library holds. */
  private readonly begun: Promise<void>;
  private readonly listeners = new Set<() => void>();
  private readonly waiting = new Map<
    number,
    {
      readonly question: Question;
      readonly resolve: (answer: unknown) => void;
      readonly first: ((begun: FoundIds) => void) | null;
    }
  >();
  /** What the index has, or has been sent. */
  private readonly sent = new Map<string, PhraseEntry>();
  private todo = new Map<string, PhraseEntry>();
  /** The index on the disk is being read. */
  private beginning = true;
  /** Slices that are being read, or are with the index. */
  private underWay = 0;
  /** What is read first is told first: of a phrase that changes meanwhile the later state comes last. */
  private putting: Promise<void> = Promise.resolve();
  private around: Around | null = null;
  /** The list that was looked at last; null before the index was told of any. */
  private seen: readonly PhraseEntry[] | null = null;
  private next = 0;
  private told = 0;
  private current: IndexState = {
    version: 0,
    reading: { done: 0, total: 0 },
    unkept: false,
    trouble: null,
  };

  constructor(private readonly store: LibraryStore) {
    this.worker = new Worker(new URL('./search-worker.ts', import.meta.url), { type: 'module' });
    this.worker.onmessage = ({ data }: MessageEvent<FromIndex>) => this.hear(data);
    this.worker.onerror = (e) => {
      e.preventDefault();
      void this.fail(e);
    };
    store.subscribe(() => this.follow());
    this.begun = this.begin();
  }

  readonly subscribe = (changed: () => void): (() => void) => {
    this.listeners.add(changed);
    return () => this.listeners.delete(changed);
  };

  readonly state = (): IndexState => this.current;

  /**
   * @param order In what order where the text names none.
   * @param first Is given how the answer begins, where all of it takes longer.
   */
  async find(
    text: string,
    order: Asked,
    first: (begun: FoundIds) => void,
  ): Promise<Result<FoundIds>> {
    return withIds(await this.ask<Answers['find']>({ kind: 'find', text, order }, first));
  }

  like(id: string, most: number): Promise<readonly LikeOne[]> {
    return this.ask({ kind: 'like', id, most });
  }

  likeThis(phrase: Phrase, most: number): Promise<readonly LikeOne[]> {
    return this.ask({ kind: 'likeThis', phrase, most });
  }

  twins(begin: number, many: number): Promise<TwinsFound> {
    return this.ask({ kind: 'twins', begin, many });
  }

  private ask<T>(question: Question, first: ((begun: FoundIds) => void) | null = null): Promise<T> {
    const number = this.next++;
    return new Promise<T>((resolve) => {
      if (this.current.trouble !== null) {
        resolve(noAnswer(question, this.current.trouble) as T);
        return;
      }
      this.waiting.set(number, { question, resolve: resolve as (answer: unknown) => void, first });
      void this.begun.then(() => this.tell({ kind: 'ask', number, question }));
    });
  }

  private async begin(): Promise<void> {
    const { phrases } = this.store.snapshot();
    const lines: string[] = [];
    await inSlices(phrases, (s) => {
      lines.push(`${s.id} ${stampOf(s)}`);
      this.sent.set(s.id, s);
    });
    // What has changed meanwhile is found from here on.
    this.seen = phrases;
    this.followAround();
    this.tell({ kind: 'holds', lines: lines.join('\n') });
  }

  private hear(message: FromIndex): void {
    switch (message.kind) {
      case 'wants':
        void this.want(message.ids === '' ? [] : message.ids.split(' '));
        return;
      case 'taken':
        this.underWay--;
        // The page answers first; one that nobody sees has nothing to answer, and its timers wait for a second.
        if (document.hidden) this.goOn();
        else setTimeout(() => this.goOn());
        return;
      case 'kept':
        this.set({ ...this.current, unkept: !message.fits });
        return;
      case 'first': {
        const begun = withIds(message.answer);
        if (begun.ok) this.waiting.get(message.number)?.first?.(begun.value);
        return;
      }
      case 'answer':
        this.waiting.get(message.number)?.resolve(message.answer);
        this.waiting.delete(message.number);
    }
  }

  private async want(ids: readonly string[]): Promise<void> {
    await inSlices(ids, (id) => {
      const stored = this.sent.get(id);
      if (stored !== undefined) this.todo.set(id, stored);
    });
    this.beginning = false;
    // Something may have changed in the meantime.
    this.follow();
    this.goOn();
  }

  /** What the library knows of its phrases besides, where that has changed. */
  private followAround(): boolean {
    const around = aroundLibrary(this.store);
    if (around === this.around) return false;
    this.around = around;
    this.tell({ kind: 'around', around });
    return true;
  }

  /** Finds what came, changed or went since the last look. */
  private follow(): void {
    const { phrases, news, state } = this.store.snapshot();
    if (state !== 'ready' || this.seen === null) return;
    if (this.followAround()) this.set({ ...this.current, version: this.current.version + 1 });
    if (phrases === this.seen) {
      if (this.todo.size > 0) this.goOn();
      return;
    }
    const some = news.before === this.seen ? news.ids : this.allKnown(phrases);
    this.seen = phrases;
    const gone: string[] = [];
    for (const id of some) {
      const s = this.store.phrase(id);
      if (s === null) {
        if (this.sent.has(id)) gone.push(id);
      } else if (this.sent.get(id) !== s) {
        this.sent.set(id, s);
        this.todo.set(id, s);
      }
    }
    for (const id of gone) {
      this.sent.delete(id);
      this.todo.delete(id);
    }
    if (gone.length > 0) {
      this.tell({ kind: 'drop', ids: gone.join(' ') });
      this.show(true);
    }
    if (this.todo.size > 0) this.goOn();
  }

  private allKnown(phrases: readonly PhraseEntry[]): ReadonlySet<string> {
    return new Set([...this.sent.keys(), ...phrases.map((s) => s.id)]);
  }

  private goOn(): void {
    if (this.beginning) return;
    if (this.todo.size === 0 && this.underWay === 0 && this.current.reading !== null) {
      this.show(true);
    }
    while (this.todo.size > 0 && this.underWay < AHEAD) {
      const some = [...take(this.todo, SENT)];
      for (const { id } of some) this.todo.delete(id);
      this.underWay++;
      const loading = this.store.loadAll(some.map((s) => s.id));
      // Of two that fail, the second is not waited for yet: that is no error that nobody deals with.
      loading.catch(() => undefined);
      this.putting = this.putting
        .then(() => loading)
        .then(
          (loaded) => this.put(loaded),
          () => this.laterAgain(some),
        );
    }
  }

  /** The library could not be read: when something of it is heard again, these are read. */
  private laterAgain(some: readonly PhraseEntry[]): void {
    this.underWay--;
    for (const { id } of some) {
      const last = this.sent.get(id);
      if (last !== undefined) this.todo.set(id, last);
    }
  }

  private put(loaded: readonly StoredPhrase[]): void {
    // What was removed meanwhile is out of the index already.
    const here = loaded.filter((s) => this.sent.has(s.id));
    this.tell({ kind: 'put', phrases: here.map((s) => ({ stamp: stampOf(s), phrase: s.phrase })) });
    this.show(false);
  }

  private show(atOnce: boolean): void {
    const now = performance.now();
    if (!atOnce && this.current.reading !== null && now - this.told < TELL) return;
    this.told = now;
    const total = this.sent.size;
    const left = this.todo.size + this.underWay;
    this.set({
      ...this.current,
      version: this.current.version + 1,
      reading: left === 0 ? null : { done: Math.max(0, total - left), total },
      trouble: null,
    });
  }

  private async fail(cause: unknown): Promise<void> {
    const missing = new NotThere('What finds phrases', await whyMissing(), cause);
    this.set({ ...this.current, reading: null, trouble: missing.message });
    for (const [number, { question, resolve }] of this.waiting) {
      this.waiting.delete(number);
      resolve(noAnswer(question, missing.message));
    }
  }

  private set(state: IndexState): void {
    this.current = state;
    for (const changed of [...this.listeners]) changed();
  }

  private tell(message: ToIndex): void {
    this.worker.postMessage(message);
  }
}

/** Does something with each of many, and lets the page answer in between where somebody sees it. */
async function inSlices<T>(many: readonly T[], each: (one: T) => void): Promise<void> {
  let end = performance.now() + SLICE;
  for (const [i, one] of many.entries()) {
    each(one);
    if (i % OFTEN !== OFTEN - 1 || performance.now() < end || document.hidden) continue;
    await new Promise((resolve) => setTimeout(resolve));
    end = performance.now() + SLICE;
  }
}

function withIds(found: Answers['find']): Result<FoundIds> {
  return found.ok ? ok({ ...found.value, ids: idList(found.value.ids) }) : found;
}

/** What stands for the answer where none will come. */
function noAnswer(question: Question, message: string): Answers[Question['kind']] {
  switch (question.kind) {
    case 'find':
      return fail({ message });
    case 'like':
    case 'likeThis':
      return [];
    case 'twins':
      return { found: [], looked: 0, of: 0 };
  }
}

/** The same for the same state of a phrase, in every window and after every start. */
function stampOf({ revision, sum }: PhraseEntry): string {
  return `${revision}/${sum}`;
}

function* take(from: ReadonlyMap<string, PhraseEntry>, most: number): Generator<PhraseEntry> {
  let left = most;
  for (const s of from.values()) {
    if (left-- === 0) return;
    yield s;
  }
}

const clients = new WeakMap<LibraryStore, SearchClient>();

/** The one index of a library in this window; begun when it is first asked for. */
export function searchClient(store: LibraryStore): SearchClient {
  const known = clients.get(store);
  if (known !== undefined) return known;
  const made = new SearchClient(store);
  clients.set(store, made);
  return made;
}
