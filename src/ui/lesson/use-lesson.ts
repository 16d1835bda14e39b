import { useMemo, useSyncExternalStore } from 'react';
import type { Lesson } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import type { SaveStatus, Stored } from '../../storage/types';
import { type App, useApp } from '../frame/app-context';

/** What was done to a lesson in this window. */
interface Steps {
  readonly past: readonly Lesson[];
  readonly future: readonly Lesson[];
}

const NONE: Steps = { past: [], future: [] };
/** More steps back than these are forgotten. */
const MOST = 200;

/** Of every lesson that was changed in this window; they outlive the page, not the window. */
const done = new Map<string, Steps>();

export interface LessonEdits {
  readonly lesson: Lesson;
  readonly status: SaveStatus<Lesson, Stored<Lesson>>;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** @param joins What the change is of: typing in one field is one step. */
  readonly change: (next: Lesson, joins?: string) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly retry: () => void;
}

let typing = '';

/** A lesson with its edits, each saved as it is made; null where the library has none. */
export function useLesson(id: string): LessonEdits | null {
  const app = useApp();
  const queue = app.queue.of(LESSONS);
  const status = useSyncExternalStore(
    (changed) => app.queue.subscribe(changed),
    () => queue.status(id),
  );
  const stored = useSyncExternalStore(
    (changed) => app.store.subscribe(changed),
    () => app.store.of(LESSONS).get(id),
  );
  const lesson = 'draft' in status ? status.draft : (stored?.value ?? null);
  return useMemo(() => {
    if (lesson === null) return null;
    const steps = done.get(id) ?? NONE;
    const put = (next: Lesson, after: Steps) => {
      done.set(id, after);
      save(app, next);
    };
    return {
      lesson,
      status,
      canUndo: steps.past.length > 0,
      canRedo: steps.future.length > 0,
      change: (next, joins = '') => {
        if (next === lesson) return;
        const goesOn = joins !== '' && typing === joins && steps.past.length > 0;
        typing = joins;
        const past = goesOn ? steps.past : [...steps.past, lesson].slice(-MOST);
        put(next, { past, future: [] });
      },
      undo: () => {
        typing = '';
        const before = steps.past.at(-1);
        if (before === undefined) return;
        put(before, { past: steps.past.slice(0, -1), future: [lesson, ...steps.future] });
      },
      redo: () => {
        typing = '';
        const [next, ...future] = steps.future;
        if (next !== undefined) put(next, { past: [...steps.past, lesson], future });
      },
      retry: () => void queue.retry(id),
    };
  }, [app, queue, id, lesson, status]);
}

function save(app: App, lesson: Lesson): void {
  const base = app.store.of(LESSONS).get(lesson.id)?.revision ?? null;
  const touched = { ...lesson, meta: { ...lesson.meta, modified: app.now() } };
  app.queue.of(LESSONS).edit(touched, base);
}
