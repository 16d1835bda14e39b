import 'fake-indexeddb/auto';
import { openDB } from 'idb';
import { expect, it } from 'vitest';
import { boundTo } from '../../../../src/core/edit/table';
import type { HeardNote } from '../../../../src/core/heard/types';
import { MOST_UNKEPT, openUnkept, type UnkeptHead } from '../../../../src/storage/unkept';
import {
  type Corrected,
  correct,
  correctedAnew,
  goToSound,
  soundKey,
  takeBack,
  uncorrected,
} from '../../../../src/ui/catch/corrections';
import { KeptBefore } from '../../../../src/ui/catch/keep-caught';
import type { CaughtTake } from '../../../../src/ui/catch/messages';
import { type Resumed, resumed } from '../../../../src/ui/catch/unkept-data';
import { UnkeptWork } from '../../../../src/ui/catch/unkept-work';
import { writeHeard } from '../../../../src/ui/catch/write-heard';

/** Quarters at 120, a rest of two beats after the fourth: two phrases. */
const PLAYED: readonly HeardNote[] = [60, 64, 67, 64, 62, 65, 69, 65].map((pitch, i) => {
  const onset = 0.5 * (i + (i < 4 ? 0 : 4));
  const curve = Array.from({ length: 20 }, (_, k) => ({ at: onset + 0.024 * k, midi: pitch }));
  const how = { attack: 'pluck', muted: false, confidence: 0.9 } as const;
  return { onset, end: onset + 0.48, pitch, start: pitch, curve, ...how };
});

let stores = 0;
/** A store as the browser gives it to the next visit. */
const nameOfStore = () => `unkept-${++stores}`;

function caught(lane = ''): CaughtTake {
  let ids = 0;
  const names = { title: 'Caught', now: '2026-11-28T10:00:00Z', newId: () => `p${ids++}` };
  const heard = { notes: PLAYED, dead: [{ onset: 3.1, confidence: 0.8 }], seconds: 8 };
  const said = { lane, key: '', bpm: 120 };
  const recording = { heard, playedTo: null, names, remarks: ['too soft'] };
  const made = writeHeard(recording, said, new Set([7]));
  if (!made.ok) throw new Error(made.problems[0]!.message);
  return made.value;
}

/** Keys of the page for writing on a note of the recording. */
function keys(c: Corrected, note: number, ...names: readonly string[]): Corrected {
  let now = goToSound(c, soundKey(PLAYED[note]!))!;
  for (const name of names) {
    const bound = boundTo(name, now.state.pen.reading)!;
    now = correct(now, bound.command, bound.value, 1000).next;
  }
  return now;
}

/** What a page has written and another one reads. */
async function leftAndBack(
  name: string,
  ...states: readonly Omit<Resumed, 'kept'>[]
): Promise<Resumed> {
  const kept = new KeptBefore();
  const store = openUnkept(name);
  const work = new UnkeptWork(
    'one',
    store,
    null,
    () => 5,
    () => {},
  );
  for (const s of states) {
    work.follow({ ...s, kept });
    await work.flush();
  }
  const back = resumed((await openUnkept(name).read('one'))!);
  if (!back.ok) throw new Error(back.problems[0]!.message);
  return back.value;
}

const phrasesIn = ({ all }: Resumed) => all.map((c) => c.state.phrase);

it('brings back what was heard, corrected, taken back and said to be right', async () => {
  const take = caught();
  const all = take.phrases.map(uncorrected);
  const right = new Set([soundKey(PLAYED[2]!)]);
  const first = keys(all[0]!, 1, 'v', 'p');
  const second = takeBack(keys(all[1]!, 5, 'v'));
  const back = await leftAndBack(
    nameOfStore(),
    { take, all, right: new Set<string>() },
    { take, all: [first, all[1]!], right },
    { take, all: [first, second], right },
  );
  expect(back.take).toEqual(take);
  expect(back.right).toEqual(right);
  expect(phrasesIn(back)).toEqual([first.state.phrase, take.phrases[1]!.phrase]);
  expect(back.all.map((c) => c.history)).toEqual([first.history, second.history]);
  // The way back is there, and over other chords the corrections are made once more.
  expect(takeBack(takeBack(back.all[0]!)).state.phrase).toEqual(take.phrases[0]!.phrase);
  const anew = correctedAnew(back.all, caught('C7').phrases, 0);
  expect(anew.lost).toBe(0);
  expect(anew.all[0]!.history.done).toBe(first.history.done);
});

it('knows what was kept, and writes again what another window took out meanwhile', async () => {
  const name = nameOfStore();
  const store = openUnkept(name);
  const take = caught();
  const all = take.phrases.map(uncorrected);
  const kept = new KeptBefore();
  const safe: boolean[] = [];
  const work = new UnkeptWork(
    'one',
    store,
    null,
    () => 5,
    (is) => safe.push(is),
  );
  work.follow({ take, all, right: new Set(), kept });
  await work.flush();
  const { phrase } = take.phrases[0]!;
  const here = { ...phrase, id: 'in-library' };
  kept.set(phrase.id, { caught: phrase, phrase: here, history: all[0]!.history, revision: 7 });
  await work.flush();
  expect(await store.list()).toMatchObject([{ open: 1, kept: ['in-library'], phrases: 2 }]);
  await store.takeOut('one');
  const corrected = [keys(all[0]!, 1, 'v'), all[1]!];
  work.follow({ take, all: corrected, right: new Set(), kept });
  await work.flush();
  expect(await store.list()).toMatchObject([{ open: 2, kept: [], corrected: 1 }]);
  const back = resumed((await store.read('one'))!);
  if (!back.ok) throw new Error(back.problems[0]!.message);
  expect(back.value.kept.get(phrase.id)).toMatchObject({
    caught: phrase,
    phrase: here,
    revision: 7,
  });
  expect(safe).toEqual([true, true, true]);
  expect(await work.forget()).not.toBeNull();
  work.follow({ take, all, right: new Set(), kept });
  await work.flush();
  expect(await store.list()).toEqual([]);
});

it('says what is damaged, and holds no more than so many, the corrected ones longest', async () => {
  const store = openUnkept(nameOfStore());
  const head = (i: number): UnkeptHead => ({
    ...{ id: `t${i}`, at: i, title: 'Caught', phrases: 1, open: 1, kept: [], right: [] },
    corrected: i === 0 ? 1 : 0,
  });
  for (let i = 0; i <= MOST_UNKEPT; i++) {
    await store.put({ head: head(i), take: { version: 1 }, parts: new Map([[0, {}]]) });
  }
  const ids = (await store.list()).map((h) => h.id);
  expect(ids).toHaveLength(MOST_UNKEPT);
  expect(ids).toContain('t0');
  expect(ids).not.toContain('t1');
  const read = resumed((await store.read('t0'))!);
  expect(read.ok ? [] : read.problems.map((p) => p.message)).toEqual([
    'what lies here of it is damaged, or was written by a newer Degreewise',
  ]);
  // Thrown away it can be put back as it was.
  const taken = (await store.takeOut('t0'))!;
  expect(await store.read('t0')).toBeNull();
  expect(await store.putBack(taken)).toBe(true);
  expect(await store.read('t0')).toMatchObject({ take: { version: 1 }, parts: [{}] });
  // Part of it is not enough.
  expect(await store.put({ head: head(99), parts: new Map([[0, {}]]) })).toBe(false);
  expect(await store.read('t99')).toBeNull();
});

it('keeps one that a window has on its page, and one of which the list alone is damaged', async () => {
  const name = nameOfStore();
  const elsewhere = new Set(['t1']);
  const store = openUnkept(name, async (id, work) => {
    if (!elsewhere.has(id)) await work();
  });
  const ids = async () => (await store.list()).map((h) => h.id);
  const put = (i: number) =>
    store.put({
      head: {
        ...{ id: `t${i}`, at: i, title: 'Caught', phrases: 1, open: 1, kept: [], right: [] },
        corrected: 0,
      },
      take: i,
      parts: new Map([[0, {}]]),
    });
  for (let i = 1; i <= MOST_UNKEPT + 1; i++) expect(await put(i)).toBe(true);
  expect(await ids()).toHaveLength(MOST_UNKEPT + 1);
  expect(await ids()).toContain('t1');
  // It goes when nobody has it any more.
  elsewhere.clear();
  await put(MOST_UNKEPT + 2);
  expect(await ids()).toHaveLength(MOST_UNKEPT);
  expect(await ids()).not.toContain('t1');

  const db = await openDB(name);
  await db.put('heads', { id: 't3', at: 3, title: 'Of a newer program' });
  await db.put('heads', { id: 't4', at: 4 });
  await db.delete('parts', ['t4', 0]);
  await db.put('heads', { id: 't5', at: -1 });
  db.close();
  await put(MOST_UNKEPT + 3);
  await put(MOST_UNKEPT + 4);
  expect(await ids()).toEqual(expect.arrayContaining(['t3', 't4', 't5']));
  // Where nothing says that all of it is in the library it is not taken for that.
  expect((await store.list()).find((h) => h.id === 't4')).toMatchObject({ phrases: 0, open: 1 });
  expect(await store.read('t5')).toMatchObject({ head: { phrases: 1, open: 1 }, take: 5 });
});

it('goes on writing what could not be thrown away, and takes no other recording in its place', async () => {
  const store = openUnkept(nameOfStore());
  const take = caught();
  const all = take.phrases.map(uncorrected);
  const kept = new KeptBefore();
  const begun = new UnkeptWork(
    'one',
    { ...store, takeOut: async () => null },
    null,
    () => 5,
    () => {},
  );
  begun.follow({ take, all, right: new Set(), kept });
  await begun.flush();
  expect(await begun.forget()).toBeNull();
  const corrected = [keys(all[0]!, 1, 'v'), all[1]!];
  begun.follow({ take, all: corrected, right: new Set(), kept });
  await begun.flush();
  expect(await store.list()).toMatchObject([{ corrected: 1 }]);

  const back = resumed((await store.read('one'))!);
  if (!back.ok) throw new Error(back.problems[0]!.message);
  const shown = new UnkeptWork(
    'one',
    store,
    back.value,
    () => 6,
    () => {},
  );
  const other = { ...take, recorded: { ...take.recorded, now: '2026-11-28T11:00:00Z' } };
  shown.follow({ take: other, all, right: new Set(), kept: new KeptBefore() });
  await shown.flush();
  expect(await store.list()).toMatchObject([{ at: 5, corrected: 1 }]);
});
