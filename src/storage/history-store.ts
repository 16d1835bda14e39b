import type { DBSchema, IDBPDatabase } from 'idb';
import { type History, MOST_STEPS, NO_HISTORY, type Step } from '../core/edit/steps';
import { fingerprintOf, fingerprintOfData } from '../core/phrase/fingerprint';
import type { Phrase } from '../core/phrase/types';
import { type HeadRecord, type StepRecord, stepsIn } from './history-record';
import { SideDatabase } from './side-database';

/** Name of the database of what was done; the music has its own, and never waits for this one. */
export const HISTORY_DATABASE = 'degreewise-history';

/**
 * Keeps what was done to phrases over a reload. Nothing here fails: whatever cannot be read or
 * written costs steps that could be undone, never music.
 */
export interface HistoryStore {
  /**
   * What was done to a phrase up to how it stands now. Steps that do not lead to it are thrown away.
   * @returns an empty history where there is none.
   */
  load(id: string, phrase: Phrase): Promise<History>;
  /**
   * Takes what was done to a phrase, to be written as soon as nothing else is to be done.
   * @param phrase As it stands after `history.done` steps.
   */
  keep(id: string, history: History, phrase: Phrase): void;
  /** Throws away what was done to phrases that are no more. */
  prune(ids: ReadonlySet<string>): Promise<void>;
  /** Writes what was taken at once; resolves when that has ended. */
  flush(): Promise<void>;
  /** Writes what was taken, and ends. */
  close(): Promise<void>;
}

interface HistoryDb extends DBSchema {
  steps: { key: [string, number]; value: StepRecord };
  heads: { key: string; value: HeadRecord };
}

type Db = IDBPDatabase<HistoryDb>;

/** The steps of one phrase, with what is known of the phrase after each. */
interface Chain {
  /** Number of the first step; the others follow. */
  readonly first: number;
  readonly steps: readonly Step[];
  readonly done: number;
  /** Fingerprint of the phrase before the first step, and after each; null where it is not known. */
  readonly prints: readonly (number | null)[];
}

/** What this window has last read or written of a phrase. */
interface Written {
  readonly chain: Chain;
  /** Stands in the head until another window writes. */
  readonly token: string;
}

const NO_CHAIN: Chain = { first: 0, steps: [], done: 0, prints: [null] };

/**
 * Opens the steps of this browser.
 * @param newToken A text that no write had before.
 */
export function openHistories(
  newToken: () => string,
  name: string = HISTORY_DATABASE,
): HistoryStore {
  return new IdbHistories(newToken, name);
}

class IdbHistories implements HistoryStore {
  private readonly side: SideDatabase<HistoryDb>;
  private readonly chains = new Map<string, Chain>();
  private readonly written = new Map<string, Written>();
  private pending: { id: string; history: History; phrase: Phrase }[] = [];
  private timer: ReturnType<typeof setTimeout> | null = null;

  constructor(
    private readonly newToken: () => string,
    name: string,
  ) {
    this.side = new SideDatabase(name, (fresh) => {
      fresh.createObjectStore('steps', { keyPath: ['phraseId', 'number'] });
      fresh.createObjectStore('heads', { keyPath: 'phraseId' });
    });
  }

  load(id: string, phrase: Phrase): Promise<History> {
    return this.side.inTurn(NO_HISTORY, async (db) => {
      const found = await read(db, id);
      const chain = found === null ? null : standingAt(found.chain, fingerprintOf(phrase));
      if (found === null || chain === null) {
        this.chains.delete(id);
        this.written.delete(id);
        await remove(db, id);
        return NO_HISTORY;
      }
      this.chains.set(id, chain);
      this.written.set(id, { chain: found.chain, token: found.token });
      return { steps: chain.steps, done: chain.done };
    });
  }

  keep(id: string, history: History, phrase: Phrase): void {
    this.pending.push({ id, history, phrase });
    this.timer ??= setTimeout(() => void this.flush());
  }

  prune(ids: ReadonlySet<string>): Promise<void> {
    return this.side.inTurn(undefined, async (db) => {
      for (const id of await db.getAllKeys('heads')) if (!ids.has(id)) await remove(db, id);
    });
  }

  async flush(): Promise<void> {
    if (this.timer !== null) clearTimeout(this.timer);
    this.timer = null;
    const taken = this.pending;
    this.pending = [];
    await this.side.inTurn(undefined, async (db) => {
      for (const { id, history, phrase } of taken) {
        this.chains.set(id, follow(this.chains.get(id) ?? NO_CHAIN, history, phrase));
      }
      for (const id of new Set(taken.map((t) => t.id))) await this.write(db, id);
    });
  }

  async close(): Promise<void> {
    await this.flush();
    this.side.close();
  }

  private async write(db: Db, id: string): Promise<void> {
    const chain = this.chains.get(id) ?? NO_CHAIN;
    const before = this.written.get(id);
    const token = this.newToken();
    // Until the write has succeeded it is not known what is there.
    this.written.delete(id);
    const tx = db.transaction(['steps', 'heads'], 'readwrite', { durability: 'relaxed' });
    // Awaited below; if reading fails before, that is the failure that counts.
    tx.done.catch(() => {});
    const [steps, heads] = [tx.objectStore('steps'), tx.objectStore('heads')];
    const head: unknown = await heads.get(id);
    const mine = before !== undefined && tokenOf(head) === before.token;
    const from = chain.first + (mine ? sharedSteps(before.chain, chain) : 0);
    const requests: Promise<unknown>[] = [];
    if (!mine) requests.push(steps.delete(allOf(id)));
    else {
      if (before.chain.first < chain.first) {
        requests.push(steps.delete(range(id, before.chain.first, chain.first - 1)));
      }
      if (before.chain.first + before.chain.steps.length > from) {
        requests.push(steps.delete(range(id, from, Number.POSITIVE_INFINITY)));
      }
    }
    for (const [i, step] of chain.steps.entries()) {
      const number = chain.first + i;
      if (number < from) continue;
      requests.push(steps.put({ phraseId: id, number, step, sum: fingerprintOfData(step) }));
    }
    const { first, done, prints } = chain;
    requests.push(heads.put({ phraseId: id, token, first, done, prints }));
    await Promise.all([...requests, tx.done]);
    this.written.set(id, { chain, token });
  }
}

/** The chain after a change: what both have in common keeps its numbers and fingerprints. */
function follow(old: Chain, history: History, phrase: Phrase): Chain {
  const steps = history.steps.slice(-MOST_STEPS);
  const done = history.done - (history.steps.length - steps.length);
  const at = steps[0] === undefined ? -1 : old.steps.indexOf(steps[0]);
  const dropped = Math.max(0, at);
  const next = { first: old.first + dropped, steps, done, prints: [] };
  const shared = sharedSteps(old, next);
  const prints = Array.from({ length: steps.length + 1 }, (_, i) => {
    if (i === done) return fingerprintOf(phrase);
    // Without a step in common it is not known where the new ones begin.
    return shared > 0 && i <= shared ? (old.prints[dropped + i] ?? null) : null;
  });
  return { ...next, prints };
}

/** How many steps at the beginning of `next` are the same in `old`, under the same numbers. */
function sharedSteps(old: Chain, next: Chain): number {
  const shift = next.first - old.first;
  let shared = 0;
  while (shared < next.steps.length && next.steps[shared] === old.steps[shift + shared]) shared++;
  return shared;
}

/**
 * The chain with `done` where the phrase stands: where it stood last if that fits, otherwise after
 * the newest step that does, since the music may be a step ahead or behind. Null where none fits.
 */
function standingAt(chain: Chain, print: number): Chain | null {
  if (chain.prints[chain.done] === print) return chain;
  const done = chain.prints.lastIndexOf(print);
  return done < 0 ? null : { ...chain, done };
}

/** Null where there is nothing, or anything of it is damaged. */
async function read(db: Db, id: string): Promise<Written | null> {
  try {
    const tx = db.transaction(['steps', 'heads']);
    const [head, records] = await Promise.all([
      tx.objectStore('heads').get(id),
      tx.objectStore('steps').getAll(allOf(id)),
      tx.done,
    ]);
    const read = stepsIn(head, records);
    if (read === null) return null;
    const { first, done, prints, token } = read.head;
    return { chain: { first, steps: read.steps, done, prints }, token };
  } catch {
    // A value that the browser cannot give.
    return null;
  }
}

async function remove(db: Db, id: string): Promise<void> {
  const tx = db.transaction(['steps', 'heads'], 'readwrite', { durability: 'relaxed' });
  await Promise.all([
    tx.objectStore('steps').delete(allOf(id)),
    tx.objectStore('heads').delete(id),
    tx.done,
  ]);
}

function tokenOf(head: unknown): unknown {
  return typeof head === 'object' && head !== null && 'token' in head ? head.token : null;
}

const allOf = (id: string) => range(id, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY);

function range(id: string, from: number, to: number): IDBKeyRange {
  return IDBKeyRange.bound([id, from], [id, to]);
}
