import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  type History,
  MOST_STEPS,
  NO_HISTORY,
  record,
  redo,
  undo,
} from '../../src/core/edit/history';
import { startEditing } from '../../src/core/edit/state';
import type { Phrase } from '../../src/core/phrase/types';
import {
  HISTORY_DATABASE,
  type HistoryStore,
  openHistories,
} from '../../src/storage/history-store';
import { phraseNamed, promised } from './support';

let tokens = 0;
let open: HistoryStore[] = [];

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});
afterEach(async () => {
  await Promise.all(open.map((s) => s.close()));
  open = [];
});

/** Another window, or the same one after a reload. */
function store(): HistoryStore {
  const made = openHistories(() => `token-${++tokens}`);
  open.push(made);
  return made;
}

interface Stand {
  readonly phrase: Phrase;
  readonly history: History;
}

const begin = (id: string): Stand => ({ phrase: phraseNamed(id, 'Start'), history: NO_HISTORY });

/** One step: another title. */
function titled({ phrase, history }: Stand, title: string): Stand {
  const after = { ...phrase, meta: { ...phrase.meta, title } };
  const done = record(history, startEditing(phrase), startEditing(after), {
    command: 'phrase.title',
    label: `the title ${title}`,
    at: 1_000,
  });
  return { phrase: done.state.phrase, history: done.history };
}

const keep = (s: HistoryStore, { phrase, history }: Stand) => s.keep(phrase.id, history, phrase);

/** Keeps each stand on the way to the last title, and writes them. */
async function written(s: HistoryStore, id: string, ...titles: readonly string[]): Promise<Stand> {
  let stand = begin(id);
  for (const title of titles) {
    stand = titled(stand, title);
    keep(s, stand);
  }
  await s.flush();
  return stand;
}

const undone = ({ phrase, history }: Stand): Stand => undo(history, phrase)!;
const redone = ({ phrase, history }: Stand): Stand => redo(history, phrase)!;

const labels = (h: History) => h.steps.map((s) => s.label.replace('the title ', ''));

/** The phrase as its file gives it back: other objects, another time of change. */
function reread(phrase: Phrase): Phrase {
  const copy: Phrase = JSON.parse(JSON.stringify(phrase));
  return { ...copy, meta: { ...copy.meta, modified: '2031-05-06T07:08:09.000Z' } };
}

/** Looks at, or changes, what is on the disk. */
async function raw<T>(run: (steps: IDBObjectStore, heads: IDBObjectStore) => IDBRequest<T>) {
  const db = await promised(indexedDB.open(HISTORY_DATABASE));
  const tx = db.transaction(['steps', 'heads'], 'readwrite');
  const result = await promised(run(tx.objectStore('steps'), tx.objectStore('heads')));
  db.close();
  return result;
}

const keysOnDisk = () => raw((steps) => steps.getAllKeys());

describe('what was done to a phrase', () => {
  it('comes back after a reload, and goes back and forward through the same phrases', async () => {
    const b = await written(store(), 'one', 'A', 'B', 'C');
    const history = await store().load('one', reread(b.phrase));
    expect(history).toEqual(b.history);
    const start = undone(undone(undone({ phrase: reread(b.phrase), history })));
    expect(start.phrase.meta.title).toBe('Start');
    expect(redone(redone(start)).phrase.meta.title).toBe('B');
  });

  it('comes back where it was undone to, also at the very beginning', async () => {
    const s = store();
    const all = await written(s, 'one', 'A', 'B');
    const start = undone(undone(all));
    keep(s, undone(all));
    keep(s, start);
    await s.flush();
    const history = await store().load('one', reread(start.phrase));
    expect([labels(history), history.done]).toEqual([['A', 'B'], 0]);
  });

  it('loses what had been undone when something else is done', async () => {
    const s = store();
    const all = await written(s, 'one', 'A', 'B', 'C');
    const other = titled(undone(undone(all)), 'D');
    keep(s, undone(all));
    keep(s, undone(undone(all)));
    keep(s, other);
    await s.flush();
    expect(await keysOnDisk()).toEqual([
      ['one', 0],
      ['one', 1],
    ]);
    expect(labels(await store().load('one', other.phrase))).toEqual(['A', 'D']);
  });

  it('goes on in the window that loaded it', async () => {
    const before = await written(store(), 'one', 'A', 'B');
    const s = store();
    const stand = { phrase: before.phrase, history: await s.load('one', before.phrase) };
    const next = titled(stand, 'C');
    keep(s, next);
    await s.flush();
    const history = await store().load('one', next.phrase);
    expect([labels(history), history.done]).toEqual([['A', 'B', 'C'], 3]);
    const first = undone(undone(undone({ phrase: next.phrase, history })));
    expect(first.phrase.meta.title).toBe('Start');
  });

  it('keeps the newest steps only, under numbers that go on', async () => {
    const titles = Array.from({ length: MOST_STEPS + 3 }, (_, i) => `${i}`);
    const s = store();
    const before = await written(s, 'one', ...titles);
    const last = titled(before, 'last');
    keep(s, last);
    await s.flush();
    const keys = await keysOnDisk();
    expect(keys).toHaveLength(MOST_STEPS);
    expect([keys[0], keys.at(-1)]).toEqual([
      ['one', 4],
      ['one', MOST_STEPS + 3],
    ]);
    const history = await store().load('one', last.phrase);
    expect([labels(history)[0], labels(history).at(-1), history.done]).toEqual([
      '4',
      'last',
      MOST_STEPS,
    ]);
  });

  it('is taken up at the step where the music stands, a step ahead or behind', async () => {
    const all = await written(store(), 'one', 'A', 'B', 'C');
    const history = await store().load('one', reread(undone(all).phrase));
    expect([labels(history), history.done]).toEqual([['A', 'B', 'C'], 2]);
  });

  it('is taken up where it stood, where the phrase was the same twice', async () => {
    const s = store();
    const all = await written(s, 'one', 'A', 'B', 'A');
    expect((await store().load('one', all.phrase)).done).toBe(3);
    const first = undone(undone(all));
    keep(s, first);
    await s.flush();
    expect((await store().load('one', first.phrase)).done).toBe(1);
  });

  it('is thrown away where it does not lead to the phrase', async () => {
    const b = await written(store(), 'one', 'A', 'B');
    const theirs = { ...b.phrase, meta: { ...b.phrase.meta, title: 'Theirs' } };
    expect(await store().load('one', theirs)).toEqual(NO_HISTORY);
    expect(await keysOnDisk()).toEqual([]);
    expect(await raw((_, heads) => heads.getAllKeys())).toEqual([]);
    expect(await store().load('one', b.phrase)).toEqual(NO_HISTORY);
  });

  it('of one phrase has nothing to do with that of another', async () => {
    const s = store();
    const one = await written(s, 'one', 'A', 'B');
    const two = await written(s, 'two', 'C');
    const t = store();
    expect(await t.load('one', { ...one.phrase, pickup: 77 })).toEqual(NO_HISTORY);
    expect(labels(await t.load('two', two.phrase))).toEqual(['C']);
    await t.prune(new Set(['one']));
    expect(await keysOnDisk()).toEqual([]);
  });

  it('is that of the window that wrote last', async () => {
    const one = store();
    const before = await written(one, 'one', 'A', 'B');
    const two = store();
    const theirs = titled(
      { phrase: before.phrase, history: await two.load('one', before.phrase) },
      'C',
    );
    keep(two, theirs);
    await two.flush();
    // Window one was told, gave up its steps and began anew.
    const mine = titled({ phrase: theirs.phrase, history: NO_HISTORY }, 'D');
    keep(one, mine);
    await one.flush();
    expect(labels(await store().load('one', mine.phrase))).toEqual(['D']);
    expect(await keysOnDisk()).toEqual([['one', 0]]);
  });
});

describe('damage', () => {
  const damaged: readonly [string, () => Promise<unknown>][] = [
    ['a step that is missing', () => raw((steps) => steps.delete(['one', 1]))],
    ['a head that is missing', () => raw((_, heads) => heads.delete('one'))],
    ['a step that is none', () => raw((steps) => steps.put({ phraseId: 'one', number: 1 }))],
    ['a step too many', () => raw((steps) => steps.put({ phraseId: 'one', number: 3 }))],
    ['a head without fingerprints', () => raw((_, heads) => heads.put({ phraseId: 'one' }))],
    [
      'a step with another value in a patch',
      async () => {
        const was = await raw((steps) => steps.get(['one', 1]));
        const text = JSON.stringify(was).replace('"value":"A"', '"value":"X"');
        expect(text).not.toBe(JSON.stringify(was));
        await raw((steps) => steps.put(JSON.parse(text)));
      },
    ],
  ];

  it.each(damaged)('%s: all steps are thrown away, and new ones are kept', async (_, damage) => {
    const all = await written(store(), 'one', 'A', 'B', 'C');
    await damage();
    const s = store();
    expect(await s.load('one', all.phrase)).toEqual(NO_HISTORY);
    expect(await keysOnDisk()).toEqual([]);
    const next = titled({ phrase: all.phrase, history: NO_HISTORY }, 'D');
    keep(s, next);
    await s.flush();
    expect(labels(await store().load('one', next.phrase))).toEqual(['D']);
  });

  it('a browser without a database keeps nothing, and says nothing', async () => {
    const s = openHistoriesWithout();
    const all = await written(s, 'one', 'A');
    expect(await s.load('one', all.phrase)).toEqual(NO_HISTORY);
    await s.close();
  });
});

function openHistoriesWithout(): HistoryStore {
  const whole = globalThis.indexedDB;
  Reflect.deleteProperty(globalThis, 'indexedDB');
  try {
    return openHistories(() => 'none');
  } finally {
    globalThis.indexedDB = whole;
  }
}
