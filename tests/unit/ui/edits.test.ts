import { describe, expect, it } from 'vitest';
import { type History, NO_HISTORY, record } from '../../../src/core/edit/history';
import { startEditing } from '../../../src/core/edit/state';
import type { Phrase } from '../../../src/core/phrase/types';
import {
  createMemoryStore,
  createSaveQueue,
  type HistoryStore,
  type LibraryStore,
} from '../../../src/storage';
import { Edits, nextSteps, undoWords } from '../../../src/ui/frame/edits';
import { createNotices } from '../../../src/ui/frame/notices';
import { build } from '../../support/build';

interface Bench {
  readonly edits: Edits;
  readonly store: LibraryStore;
  readonly notices: ReturnType<typeof createNotices>;
  readonly title: () => string | undefined;
  readonly flush: () => Promise<void>;
  /** Sets the title at a moment, in ms. */
  readonly rename: (title: string, at: number, command?: string) => void;
}

type Past = Pick<HistoryStore, 'load' | 'keep'>;

async function bench(past: Past | null = null): Promise<Bench> {
  const phrase = build('w 3/5', { id: 'undone', title: '' });
  const store = createMemoryStore({ phrases: [phrase] });
  await store.opened();
  let at = 0;
  const queue = createSaveQueue(store, {
    now: () => at,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => `${t} (mine)`,
  });
  const notices = createNotices();
  const app = { store, queue, notices, now: () => new Date(at).toISOString() };
  const edits = new Edits(app, past);
  return {
    edits,
    store,
    notices,
    title: () => edits.phrase('undone')?.meta.title,
    flush: () => queue.flush(),
    rename(title, ms, command = 'phrase.title') {
      at = ms;
      const now = edits.phrase('undone')!;
      const next: Phrase = { ...now, meta: { ...now.meta, title } };
      const note = { command, label: 'the title', joins: true };
      edits.change(startEditing(now), startEditing(next), note);
    },
  };
}

describe('the changes of a phrase', () => {
  it('go back and forward through every state', async () => {
    const b = await bench();
    b.rename('a', 0);
    b.rename('b', 10_000);
    expect(b.edits.undo('undone')?.phrase.meta.title).toBe('a');
    expect(b.title()).toBe('a');
    expect(b.edits.undo('undone')?.phrase.meta.title).toBe('');
    expect(b.edits.undo('undone')).toBeNull();
    expect(b.edits.redo('undone')?.phrase.meta.title).toBe('a');
    expect(b.edits.redo('undone')?.phrase.meta.title).toBe('b');
    expect(b.edits.redo('undone')).toBeNull();
    await b.flush();
    expect(b.store.snapshot().phrases[0]!.peek()!.meta.title).toBe('b');
  });

  it('typed without a pause are one step', async () => {
    const b = await bench();
    b.rename('G', 0);
    b.rename('Ga', 900);
    b.rename('Gate', 1_800);
    b.rename('Gates', 8_000);
    expect(b.edits.history('undone').steps).toHaveLength(2);
    b.edits.undo('undone');
    expect(b.title()).toBe('Gate');
    b.edits.undo('undone');
    expect(b.title()).toBe('');
  });

  it('end what could be done again', async () => {
    const b = await bench();
    b.rename('a', 0);
    b.edits.undo('undone');
    expect(nextSteps(b.edits.history('undone')).redo?.label).toBe('the title');
    b.rename('b', 10, 'phrase.tags');
    expect(nextSteps(b.edits.history('undone')).redo).toBeNull();
    expect(b.edits.history('another').steps).toEqual([]);
  });

  it('survive being written, and a save that changes nothing but the time', async () => {
    const b = await bench();
    b.rename('a', 0);
    await b.flush();
    const [stored] = b.store.snapshot().phrases;
    const later = { ...stored!.peek()!, meta: { ...stored!.peek()!.meta, modified: LATER } };
    await b.store.save(later, stored!.revision);
    expect(undoWords(nextSteps(b.edits.history('undone')).undo!)).toBe('Undo the title');
    expect(b.edits.undo('undone')?.phrase.meta.title).toBe('');
  });

  it('are given up, and that is said, when the phrase is changed elsewhere', async () => {
    const b = await bench();
    b.rename('a', 0);
    await b.flush();
    const [stored] = b.store.snapshot().phrases;
    const theirs = { ...stored!.peek()!, meta: { ...stored!.peek()!.meta, title: 'theirs' } };
    await b.store.save(theirs, stored!.revision);
    expect(b.edits.history('undone').steps).toEqual([]);
    expect(b.edits.undo('undone')).toBeNull();
    expect(b.title()).toBe('theirs');
    expect(b.notices.list().map((n) => n.text)).toEqual([
      '“theirs” was changed in another window. What was done here before can no longer be undone one by one.',
    ]);
  });

  it('include a replacement, which is a step once it is on the disk', async () => {
    const b = await bench();
    b.rename('a', 0);
    const before = b.edits.phrase('undone')!;
    const next = build('h 2/8 3/7', { id: 'undone', title: 'a' });
    const saved = await b.edits.replace(before, next, {
      command: 'phrase.move',
      label: 'the move',
    });
    expect(saved.kind).toBe('saved');
    expect(b.notices.list()).toEqual([]);
    expect(b.edits.phrase('undone')!.voices[0].events).toHaveLength(2);
    b.edits.undo('undone');
    expect(b.edits.phrase('undone')!.voices).toEqual(before.voices);
    b.edits.undo('undone');
    expect(b.title()).toBe('');
  });
});

/** Steps from before a reload, which come when the test wants them to. */
function slowPast() {
  const kept: History[] = [];
  let come: (found: History) => void = () => {};
  const past: Past = {
    load: () =>
      new Promise((resolve) => {
        come = resolve;
      }),
    keep: (_, history) => kept.push(history),
  };
  const arrive = async (found: History) => {
    come(found);
    await Promise.resolve();
  };
  return { past, kept, arrive };
}

/** One step that has led from a title to none. */
function stepFrom(b: Bench, title: string): History {
  const now = b.edits.phrase('undone')!;
  const before = startEditing({ ...now, meta: { ...now.meta, title } });
  const note = { command: 'phrase.title', label: 'the title', at: -60_000 };
  return record(NO_HISTORY, before, startEditing(now), note).history;
}

describe('the changes from before a reload', () => {
  it('can be undone, and what is done next is kept with them', async () => {
    const { past, kept, arrive } = slowPast();
    const b = await bench(past);
    b.edits.open('undone');
    // Until they are here nobody is told that there is nothing.
    expect(b.edits.coming('undone')).not.toBeNull();
    await arrive(stepFrom(b, 'before'));
    expect(b.edits.coming('undone')).toBeNull();
    expect(kept).toEqual([]);
    b.rename('a', 0);
    expect(kept.map((h) => [h.steps.length, h.done])).toEqual([[2, 2]]);
    b.edits.undo('undone');
    expect(b.edits.undo('undone')?.phrase.meta.title).toBe('before');
    expect(kept.at(-1)?.done).toBe(0);
  });

  it('go before what was done while they were on their way', async () => {
    const { past, kept, arrive } = slowPast();
    const b = await bench(past);
    b.edits.open('undone');
    const found = stepFrom(b, 'before');
    b.rename('a', 0);
    b.rename('b', 10_000);
    b.edits.undo('undone');
    expect(kept).toEqual([]);
    await arrive(found);
    expect(b.title()).toBe('a');
    expect(kept.map((h) => [h.steps.length, h.done])).toEqual([[3, 2]]);
    expect(b.edits.redo('undone')?.phrase.meta.title).toBe('b');
    for (const title of ['a', '', 'before']) {
      expect(b.edits.undo('undone')?.phrase.meta.title).toBe(title);
    }
  });

  it('are given up without a word where nothing was done here since', async () => {
    const { past, arrive } = slowPast();
    const b = await bench(past);
    b.edits.open('undone');
    await arrive(stepFrom(b, 'before'));
    expect(nextSteps(b.edits.history('undone')).undo?.label).toBe('the title');
    const [stored] = b.store.snapshot().phrases;
    const theirs = { ...stored!.peek()!, meta: { ...stored!.peek()!.meta, title: 'theirs' } };
    await b.store.save(theirs, stored!.revision);
    expect(b.edits.history('undone').steps).toEqual([]);
    expect(b.notices.list()).toEqual([]);
  });

  it('are left out where the phrase was changed elsewhere meanwhile', async () => {
    const { past, kept, arrive } = slowPast();
    const b = await bench(past);
    b.edits.open('undone');
    const found = stepFrom(b, 'before');
    const [stored] = b.store.snapshot().phrases;
    const theirs = { ...stored!.peek()!, meta: { ...stored!.peek()!.meta, title: 'theirs' } };
    await b.store.save(theirs, stored!.revision);
    b.rename('mine', 0);
    await arrive(found);
    expect(b.title()).toBe('mine');
    expect(kept.map((h) => h.steps.length)).toEqual([1]);
    expect(b.edits.undo('undone')?.phrase.meta.title).toBe('theirs');
    expect(b.edits.undo('undone')).toBeNull();
  });
});

const LATER = '2027-01-01T00:00:00.000Z';
