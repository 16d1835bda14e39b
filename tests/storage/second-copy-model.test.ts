import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { SecondCopy } from '../../src/storage/second-copy';
import { createLibrary } from '../../src/storage/store';
import type { LibraryStore, Revision, SaveAllResult } from '../../src/storage/types';
import { runs } from '../support/thorough';
import { Folder } from './folder';
import { NOW, phraseNamed, titles } from './support';

const IDS = ['a', 'b', 'c'];

interface Act {
  readonly kind: 'save' | 'remove';
  /** Written in one transaction. */
  readonly ids: readonly string[];
  readonly window: number;
  /** What was begun before is to end first. */
  readonly waits: boolean;
}

interface Session {
  /** The database was thrown away since the last one. */
  readonly lost: boolean;
  /** What the folder is like from the opening on. */
  readonly folder: 'good' | 'full' | 'failing';
  /** So many things happen in the folder until the browser is killed. */
  readonly left: number;
  readonly acts: readonly Act[];
}

const session: fc.Arbitrary<Session> = fc.record({
  lost: fc.boolean(),
  folder: fc.oneof(
    { weight: 6, arbitrary: fc.constant('good' as const) },
    fc.constantFrom('full' as const, 'failing' as const),
  ),
  left: fc.oneof(fc.integer({ min: 0, max: 30 }), fc.constant(1_000)),
  acts: fc.array(
    fc.record({
      kind: fc.constantFrom('save' as const, 'save' as const, 'save' as const, 'remove' as const),
      ids: fc.oneof(...IDS.map((id) => fc.constant([id])), fc.constant(['a', 'b'])),
      window: fc.integer({ min: 0, max: 1 }),
      waits: fc.boolean(),
    }),
    { maxLength: 12 },
  ),
});

type Title = string | null;

/**
 * What may be found of one phrase: its title, null for none. An oracle of its own, which knows only
 * what was said to be done, and in which sessions the copy could not be written.
 */
class Promised {
  /** Ends when nothing is under way, so that no two writes of a phrase are. */
  turn: Promise<unknown> = Promise.resolve();
  possible: readonly Title[] = [null];
  /** As well where the database is thrown away before the copy has caught up. */
  private risky: readonly Title[] = [];

  /** A write has begun. @returns what to call when it is known what became of it. */
  begin(title: Title): (done: boolean, copied: boolean) => void {
    const before = this.possible;
    this.possible = [...before, title];
    return (done, copied) => {
      this.possible = before;
      if (done) this.settle(title, copied);
    };
  }

  settle(title: Title, copied: boolean): void {
    this.risky = copied ? [] : [...this.risky, ...this.possible];
    this.possible = [title];
  }

  lose(): void {
    this.possible = [...this.possible, ...this.risky];
  }
}

type Promises = ReadonlyMap<string, Promised>;

/** A running browser. */
class Running {
  readonly folder: Folder;
  private dead = false;
  private comparing: Promise<unknown> = Promise.resolve();

  constructor(disk: Map<string, string>, s: Session) {
    this.folder = new Folder(disk);
    this.folder.full = s.folder === 'full';
    this.folder.failing = s.folder === 'failing';
    this.folder.left = s.left;
    void this.folder.killed.then(() => {
      this.dead = true;
    });
  }

  get killed(): boolean {
    return this.dead;
  }

  /** A window; null where the browser was killed before it was open. */
  async open(): Promise<LibraryStore | null> {
    const backend = idbBackend(DATABASE, UPGRADES, {
      patience: { open: 60_000, write: 60_000, again: 600_000, longest: 600_000, rest: 0 },
      copy: new SecondCopy(this.folder, UPGRADES.length),
      alone: (work) => {
        const result = this.comparing.then(work);
        this.comparing = result.catch(() => undefined);
        return result;
      },
    });
    const store = createLibrary(backend, {
      now: () => NOW,
      newId: () => 'nobody',
      channel: null,
      persistence: null,
      estimate: async () => ({ usage: null, quota: null }),
    });
    await this.untilKilled(store.opened());
    if (this.killed) return null;
    expect(store.snapshot()).toMatchObject({ state: 'ready', problems: [] });
    return store;
  }

  /** Waits for something that may never come. */
  async untilKilled(work: Promise<unknown>): Promise<void> {
    await Promise.race([work, this.folder.killed]);
    if (!this.killed) return;
    // What was begun in the database may still end.
    for (let i = 0; i < 12; i++) await new Promise((resolve) => setTimeout(resolve));
  }
}

async function run(s: Session, number: number, disk: Map<string, string>, all: Promises) {
  if (s.lost) {
    globalThis.indexedDB = new IDBFactory();
    for (const p of all.values()) p.lose();
  }
  for (const p of all.values()) p.turn = Promise.resolve();
  const running = new Running(disk, s);
  const windows = [await running.open(), await running.open()];
  const [one, two] = windows;
  if (!one || !two) return;
  // Without a copy that can be read, a library that was lost is empty until it can be.
  if (s.folder !== 'failing') {
    const found = titles(one);
    for (const [id, p] of all) {
      const title = found[id] ?? null;
      expect(p.possible, `phrase ${id} at the opening of session ${number}`).toContain(title);
      p.settle(title, s.folder === 'good');
    }
  }
  const under = new Set<Promise<void>>();
  for (const [i, act] of s.acts.entries()) {
    if (act.waits) await running.untilKilled(Promise.all(under));
    if (running.killed) return;
    under.add(take(act, `${number}.${i}`, act.window === 0 ? one : two, running, all));
  }
  await running.untilKilled(Promise.all(under));
  // Whatever goes on by itself, ends with the browser.
  running.folder.left = 0;
}

async function take(
  act: Act,
  title: string,
  store: LibraryStore,
  running: Running,
  all: Promises,
): Promise<void> {
  const phrases = act.ids.flatMap((id) => all.get(id) ?? []);
  const before = phrases.map((p) => p.turn);
  const work = Promise.all(before).then(async () => {
    const begun = phrases.map((p) => p.begin(act.kind === 'save' ? title : null));
    const done =
      act.kind === 'save' ? await save(store, act.ids, title) : await remove(store, act.ids);
    // A browser that was killed has said nothing.
    if (running.killed) return;
    for (const [i, known] of begun.entries())
      known(done.includes(act.ids[i] ?? ''), !running.folder.full && !running.folder.failing);
  });
  for (const p of phrases) p.turn = work;
  await work;
}

/** @returns those that were there to be removed. */
async function remove(store: LibraryStore, ids: readonly string[]): Promise<readonly string[]> {
  const result = await store.remove(ids);
  if (result.kind !== 'done') throw new Error(JSON.stringify(result));
  return result.ids;
}

/** Saves from what is there, as a user does who is told of a conflict. */
async function save(store: LibraryStore, ids: readonly string[], title: string) {
  const bases = new Map<string, Revision | null>();
  for (const s of store.snapshot().phrases) bases.set(s.id, s.revision);
  for (let tries = 0; tries < 3; tries++) {
    const result: SaveAllResult = await store.saveAll(
      ids.map((id) => ({ phrase: phraseNamed(id, title), base: bases.get(id) ?? null })),
    );
    if (result.kind === 'saved') return ids;
    if (result.kind !== 'conflicts') throw new Error(JSON.stringify(result));
    for (const c of result.conflicts) {
      if (c.kind === 'changed') bases.set(c.id, c.theirs.revision);
      else bases.set(c.id, c.kind === 'removed' ? c.revision : null);
    }
  }
  throw new Error(`${title} is refused again and again`);
}

describe('any sessions, killed at any moment, with databases thrown away between them', () => {
  it('leave every phrase as it was last said to be', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(session, { minLength: 1, maxLength: 5 }), async (sessions) => {
        globalThis.indexedDB = new IDBFactory();
        const disk = new Map<string, string>();
        const all = new Map(IDS.map((id) => [id, new Promised()]));
        for (const [n, s] of sessions.entries()) await run(s, n, disk, all);
        // What is there in a quiet session is all in the copy then.
        const quiet: Session = { lost: false, folder: 'good', left: 1_000, acts: [] };
        await run(quiet, 90, disk, all);
        await run({ ...quiet, lost: true }, 91, disk, all);
      }),
      { seed: 20261126, numRuns: runs(50, 150) },
    );
  });
});
