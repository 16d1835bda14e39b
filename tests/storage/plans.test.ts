import { describe, expect, it, vi } from 'vitest';
import { changedPlan, newPlan, newTurn } from '../../src/core/plan/edit';
import type { Turn } from '../../src/core/plan/types';
import type { AnyKind } from '../../src/io/kinds/kind';
import { KINDS, PLANS, TURNS } from '../../src/io/kinds/kinds';
import { basis, type Head, takeRow } from '../../src/storage/head';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import type { LibraryStore } from '../../src/storage/types';
import { freshBrowser, phraseNamed, promised, rawDatabase, saved } from './support';

const box = freshBrowser();
const now = '2026-11-27T08:00:00Z';
const day = '2026-11-27';
const lesson = { id: 'l', meta: { title: 'Thirds', created: now, modified: now } };
const plan = newPlan(lesson, { id: 'p', now, day, seed: 7 });
const turn = (id: string) =>
  newTurn(
    plan,
    { item: 'phrase a', title: 'A', step: { speed: 60, goal: null }, went: 'sits' },
    { id, now, day },
  );

async function open(): Promise<LibraryStore> {
  const store = box.browser.window(UPGRADES, idbBackend(DATABASE, UPGRADES, null));
  expect(await store.opened()).toBe('ready');
  return store;
}
const log = (store: LibraryStore) =>
  store
    .of(TURNS)
    .all()
    .map((s) => s.value)
    .filter((t) => t.log === plan.log)
    .map((t) => t.id)
    .sort();

/** Opens the library as a large one, of which only what is looked at is read. */
async function large(): Promise<{ store: LibraryStore; read: readonly string[] }> {
  const backend = idbBackend(DATABASE, UPGRADES, null, 0);
  const read: string[] = [];
  const reads = backend.read.bind(backend);
  vi.spyOn(backend, 'read').mockImplementation((keys) => {
    read.push(...keys);
    return reads(keys);
  });
  const store = box.browser.window(UPGRADES, backend);
  expect(await store.opened()).toBe('ready');
  return { store, read };
}

/** Three logs of 40 turns each, and a phrase. */
async function threeLogs(): Promise<readonly Turn[]> {
  const store = await open();
  const turns = ['one', 'two', 'three'].flatMap((log) =>
    Array.from({ length: 40 }, (_, i) => ({ ...turn(`${i}-${log}`), log })),
  );
  await store.of(TURNS).add(turns);
  await saved(store, phraseNamed('u', 'Quay'), null);
  await store.close();
  return turns;
}
const idsOf = (turns: readonly { readonly id: string }[]) => turns.map((t) => t.id).sort();

describe('a large library', () => {
  it('reads the turns of one log, and no others', async () => {
    const turns = await threeLogs();
    const { store, read } = await large();
    expect(read).toEqual([]);
    const own = turns.filter((t) => t.log === 'two');
    const entries = store.of(TURNS).inGroup('two');
    expect(idsOf(entries)).toEqual(idsOf(own));
    const loaded = await store.of(TURNS).load(idsOf(entries));
    expect(loaded.map((s) => s.value)).toEqual(own.sort((a, b) => (a.id < b.id ? -1 : 1)));
    expect([...read].sort()).toEqual(own.map((t) => `turn ${t.id}`).sort());
    // The list stays the same until something of it changes.
    await store.of(TURNS).save({ ...turn('new'), log: 'one' }, null);
    expect(store.of(TURNS).inGroup('two')).toBe(entries);
    await store.of(TURNS).remove(['3-two']);
    expect(store.of(TURNS).inGroup('two')).toHaveLength(39);
    await store.of(TURNS).restore(['3-two']);
    expect(idsOf(store.of(TURNS).inGroup('two'))).toEqual(idsOf(own));
    // In another group, as nothing of the program does it: it is there and no longer here.
    const { revision } = store.of(TURNS).get('new')!;
    await store.of(TURNS).save({ ...turn('new'), log: 'three' }, revision);
    expect([...lengths(store)]).toEqual([40, 40, 41]);
    await store.close();
    expect(lengths((await large()).store)).toEqual([40, 40, 41]);
  });

  it('learns the logs of turns that an older program wrote, without a look at phrases', async () => {
    await threeLogs();
    await rowsWithoutGroups();
    // Cut off in the midst it goes on where it was.
    const cut = { basis: basis(KINDS), to: 'turn 20-two', until: 'turn!' };
    for (const mark of [{ basis: OLDER, to: null }, cut]) {
      const before = await rows();
      await rawDatabase('readwrite', (_, meta) => meta.put(mark, 'heads'));
      const { store, read } = await large();
      expect([lengths(store), lengthsTold(await rows())]).toEqual([
        [40, 40, 40],
        [40, 40, 40],
      ]);
      // What it wrote is after what was there; of the phrase nothing is written again.
      const now = await rows();
      expect(now.slice(0, before.length)).toEqual(before);
      const keys = now.slice(before.length).flatMap((row) => keysIn(row));
      expect(keys.every((k) => k.startsWith('turn ') && (mark.to ?? '') < k)).toBe(true);
      expect(keys.length).toBe(mark.to === null ? 120 : keysAfter(mark.to));
      expect(read).toEqual([]);
      await store.close();
    }
  });

  it('reads turns whose log is not said with what it opens, in a window beside an older program', async () => {
    await threeLogs();
    await rowsWithoutGroups();
    const { store, read } = await large();
    expect(lengths(store)).toEqual([40, 40, 40]);
    expect(read).toHaveLength(120);
  });
});

const OLDER = basis(KINDS.filter((k) => k.name === 'phrase'));
const lengths = (store: LibraryStore) =>
  ['one', 'two', 'three'].map((log) => store.of(TURNS).inGroup(log).length);

const keysIn = (row: string) => (JSON.parse(row) as string[][]).map((entry) => entry[0]!);

const keysAfter = (key: string) =>
  Array.from({ length: 40 }, (_, i) => i)
    .flatMap((i) => ['one', 'two', 'three'].map((log) => `turn ${i}-${log}`))
    .filter((k) => k > key).length;

async function rawStore<T>(
  mode: IDBTransactionMode,
  run: (heads: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const db = await promised(indexedDB.open(DATABASE));
  const result = await promised(run(db.transaction('heads', mode).objectStore('heads')));
  db.close();
  return result;
}

async function rows(): Promise<string[]> {
  return (await rawStore('readonly', (heads) => heads.getAll())) as string[];
}

/** How many turns of each log the rows tell of. */
function lengthsTold(all: readonly string[]): readonly number[] {
  const known = new Map<string, Head>();
  for (const row of all) takeRow(known, row);
  const heads = [...known.values()];
  return ['one', 'two', 'three'].map((log) => heads.filter((h) => h.group === log).length);
}

/** The log of heads as programs before wrote it. */
async function rowsWithoutGroups(): Promise<void> {
  const all = (await rows()).map((row) =>
    JSON.stringify((JSON.parse(row) as unknown[][]).map((entry) => entry.slice(0, 9))),
  );
  await rawStore('readwrite', (heads) => heads.clear());
  for (const row of all) await rawStore('readwrite', (heads) => heads.add(row));
}

describe('the log of a plan', () => {
  it('has the turns of both windows, and those of a file whose plan is another by now', async () => {
    const [one, two] = [await open(), await open()];
    await one.of(PLANS).save(plan, null);
    await Promise.all([one.of(TURNS).save(turn('t1'), null), two.of(TURNS).save(turn('t2'), null)]);
    await one.refresh();
    expect(log(one)).toEqual(['t1', 't2']);
    const changed = changedPlan(plan, { student: 'Wren' });
    const things = [
      { kind: PLANS as unknown as AnyKind, value: changed },
      ...[turn('t1'), turn('t3')].map((value) => ({ kind: TURNS as unknown as AnyKind, value })),
    ];
    const added = await one.things.add(things);
    expect(added).toMatchObject({
      kind: 'saved',
      added: [{ kind: 'copied' }, { kind: 'same' }, { kind: 'added' }],
    });
    expect(log(one)).toEqual(['t1', 't2', 't3']);
    // Both plans go on with it.
    const plans = one.of(PLANS).all();
    expect(plans.map((s) => s.value.student ?? '')).toEqual(['', 'Wren']);
    for (const { value } of plans) expect(value.log).toBe(plan.log);
  });
});
