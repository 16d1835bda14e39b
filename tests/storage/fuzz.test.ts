import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LibraryStore, Revision } from '../../src/storage';
import { runs } from '../support/thorough';
import { freshBrowser, phraseNamed, titles } from './support';

const box = freshBrowser();

/**
 * The library as it is meant, without a database: the newest of every phrase with its revision,
 * removed ones included. An oracle of its own: it shares no code with the library.
 */
class Model {
  readonly phrases = new Map<string, { title: string; revision: Revision; removed: boolean }>();
  private last = 0;

  /** Whether a save from `base` is to succeed; then it has happened. */
  save(id: string, title: string, base: Revision | null): boolean {
    const there = this.phrases.get(id);
    const same = there !== undefined && !there.removed && there.title === title;
    if (same) return true;
    if ((there?.revision ?? null) !== base) return false;
    this.phrases.set(id, { title, revision: ++this.last, removed: false });
    return true;
  }

  mark(id: string, removed: boolean): boolean {
    const there = this.phrases.get(id);
    if (there === undefined || there.removed === removed) return false;
    this.phrases.set(id, { ...there, revision: ++this.last, removed });
    return true;
  }

  titles(): Record<string, string> {
    const kept = [...this.phrases].filter(([, p]) => !p.removed);
    return Object.fromEntries(kept.sort().map(([id, p]) => [id, p.title]));
  }
}

type Step =
  | { readonly kind: 'save'; readonly window: number; readonly id: string; readonly title: string }
  | { readonly kind: 'remove' | 'restore'; readonly window: number; readonly id: string }
  | { readonly kind: 'refresh'; readonly window: number }
  | { readonly kind: 'reopen'; readonly window: number };

const window = fc.integer({ min: 0, max: 1 });
const id = fc.constantFrom('a', 'b', 'c');
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({
      kind: fc.constant('save' as const),
      window,
      id,
      title: fc.constantFrom('Quay', 'Jetty', 'Pier', 'Mole'),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constantFrom('remove' as const, 'restore' as const),
      window,
      id,
    }),
  },
  fc.record({ kind: fc.constant('refresh' as const), window }),
  fc.record({ kind: fc.constant('reopen' as const), window }),
);

describe('any sequence of steps in two windows that hear nothing of each other', () => {
  it('saves exactly what the rule of revisions allows, and both end with the same library', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 4, maxLength: 24 }), async (steps) => {
        box.browser.talking = false;
        const model = new Model();
        const windows = [await box.browser.ready(), await box.browser.ready()];
        for (const s of steps) {
          if (s.kind === 'reopen') {
            await windows[s.window]!.close();
            windows[s.window] = await box.browser.ready();
          } else await take(s, windows[s.window]!, model);
        }
        for (const w of windows) {
          await w.refresh();
          expect(titles(w)).toEqual(model.titles());
          expect(w.snapshot().problems).toEqual([]);
          for (const { id, revision } of w.snapshot().phrases) {
            expect(revision).toBe(model.phrases.get(id)?.revision);
          }
        }
        await clear(windows);
      }),
      { seed: 20261125, numRuns: runs(25, 60) },
    );
  });
});

async function take(
  s: Exclude<Step, { readonly kind: 'reopen' }>,
  w: LibraryStore,
  model: Model,
): Promise<void> {
  if (s.kind === 'refresh') return w.refresh();
  if (s.kind === 'save') {
    const seen = w.snapshot().phrases.find((p) => p.id === s.id);
    const base = seen?.revision ?? null;
    const result = await w.save(phraseNamed(s.id, s.title), base);
    expect(result.kind).toBe(model.save(s.id, s.title, base) ? 'saved' : 'conflict');
    return;
  }
  const result = await w[s.kind]([s.id]);
  const done = model.mark(s.id, s.kind === 'remove');
  expect(result).toEqual({ kind: 'done', ids: done ? [s.id] : [] });
}

/** An empty database for the next run. */
async function clear(windows: readonly LibraryStore[]): Promise<void> {
  for (const w of windows) await w.close();
  globalThis.indexedDB = new IDBFactory();
}
