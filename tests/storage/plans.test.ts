import { describe, expect, it } from 'vitest';
import { changedPlan, newPlan, newTurn } from '../../src/core/plan/edit';
import type { AnyKind } from '../../src/io/kinds/kind';
import { PLANS, TURNS } from '../../src/io/kinds/kinds';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import type { LibraryStore } from '../../src/storage/types';
import { freshBrowser } from './support';

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
