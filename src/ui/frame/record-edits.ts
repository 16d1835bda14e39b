import { useMemo, useSyncExternalStore } from 'react';
import type { Kind } from '../../io/kinds/kind';
import type { SaveStatus } from '../../storage/edit-types';
import type { Stored } from '../../storage/types';
import { type App, useApp } from './app-context';

/** What is edited field by field: it says when it was changed last. */
interface Edited {
  readonly id: string;
  readonly meta: { readonly modified: string };
}

/** What was done to one thing in this window. */
interface Steps {
  readonly past: readonly unknown[];
  readonly future: readonly unknown[];
}

const NONE: Steps = { past: [], future: [] };
/** More steps back than these are forgotten. */
const MOST = 200;

/** Of everything that was changed in this window, by kind and id; they outlive the page, not the window. */
const done = new Map<string, Steps>();

export interface RecordEdits<T> {
  readonly value: T;
  readonly status: SaveStatus<T, Stored<T>>;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** @param joins What the change is of: typing in one field is one step. */
  readonly change: (next: T, joins?: string) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly retry: () => void;
}

let typing = '';

/** A thing of a kind with its edits, each saved as it is made; null where the library has none. */
export function useRecord<T extends Edited>(kind: Kind<T>, id: string): RecordEdits<T> | null {
  const app = useApp();
  const queue = app.queue.of(kind);
  const status = useSyncExternalStore(
    (changed) => app.queue.subscribe(changed),
    () => queue.status(id),
  );
  const stored = useSyncExternalStore(
    (changed) => app.store.subscribe(changed),
    () => app.store.of(kind).get(id),
  );
  const value = 'draft' in status ? status.draft : (stored?.value ?? null);
  return useMemo(() => {
    if (value === null) return null;
    const name = `${kind.name} ${id}`;
    const steps = done.get(name) ?? NONE;
    const put = (next: T, after: Steps) => {
      done.set(name, after);
      save(app, kind, next);
    };
    return {
      value,
      status,
      canUndo: steps.past.length > 0,
      canRedo: steps.future.length > 0,
      change: (next, joins = '') => {
        if (next === value) return;
        const step = joins === '' ? '' : `${name} ${joins}`;
        const goesOn = step !== '' && typing === step && steps.past.length > 0;
        typing = step;
        const past = goesOn ? steps.past : [...steps.past, value].slice(-MOST);
        put(next, { past, future: [] });
      },
      undo: () => {
        typing = '';
        const before = steps.past.at(-1);
        if (before === undefined) return;
        // What stands under the name of a kind was put there by that kind.
        put(before as T, { past: steps.past.slice(0, -1), future: [value, ...steps.future] });
      },
      redo: () => {
        typing = '';
        const [next, ...future] = steps.future;
        if (next !== undefined) put(next as T, { past: [...steps.past, value], future });
      },
      retry: () => void queue.retry(id),
    };
  }, [app, queue, kind, id, value, status]);
}

/**
 * Puts something in the place of what stands there, as one step.
 * @returns what takes it back, unless anything was done since, here or in another window; it then says false.
 */
export function replaceRecord<T extends Edited>(app: App, kind: Kind<T>, next: T): () => boolean {
  const name = `${kind.name} ${next.id}`;
  const now = () => {
    const status = app.queue.of(kind).status(next.id);
    return 'draft' in status ? status.draft : (app.store.of(kind).get(next.id)?.value ?? null);
  };
  const before = now();
  if (before === null) return () => false;
  typing = '';
  const { past } = done.get(name) ?? NONE;
  const after: Steps = { past: [...past, before].slice(-MOST), future: [] };
  done.set(name, after);
  const { modified } = save(app, kind, next).meta;
  return () => {
    const there = now();
    if (done.get(name) !== after || there?.meta.modified !== modified) return false;
    done.set(name, { past, future: [there] });
    save(app, kind, before);
    return true;
  };
}

/** @returns it as it is saved. */
function save<T extends Edited>(app: App, kind: Kind<T>, value: T): T {
  const base = app.store.of(kind).get(value.id)?.revision ?? null;
  const touched = { ...value, meta: { ...value.meta, modified: app.now() } };
  app.queue.of(kind).edit(touched, base);
  return touched;
}
