import { shownTitle } from '../../core/phrase/record';
import type { Kind } from '../../io/kinds/kind';
import type { SaveStatus } from '../../storage/edit-types';
import type { Revision, SaveResult, Stored } from '../../storage/types';
import type { App } from './app-context';

/** What is edited field by field: it says when it was changed last. */
export interface Edited {
  readonly id: string;
  readonly meta: { readonly modified: string };
}

/** What was done to one thing in this window. */
interface Steps {
  readonly past: readonly unknown[];
  readonly future: readonly unknown[];
  /** What the last of them left. */
  readonly left: unknown;
}

const NONE: Steps = { past: [], future: [], left: null };
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

/**
 * What can be done to a thing as it is shown.
 * @param value What stands on the page: changes are made from it.
 */
export function recordEdits<T extends Edited>(
  app: App,
  kind: Kind<T>,
  value: T,
  status: SaveStatus<T, Stored<T>>,
): RecordEdits<T> {
  const { id } = value;
  const name = nameOf(kind, id);
  const known = done.get(name);
  const shown = known !== undefined && sameBut(known.left, value) ? known : NONE;
  // What another window has made of it meanwhile is not what a step was made from.
  const travel = (way: (steps: Steps, now: T) => Travelled | null) => {
    typing = '';
    const now = standing(app, kind, id);
    if (now === null) return;
    const to = way(stepsThatLeadTo(app, kind, now), now);
    // What stands under the name of a kind was put there by that kind.
    if (to !== null) put(app, kind, to.value as T, to, revisionOf(app, kind, id));
  };
  return {
    value,
    status,
    canUndo: shown.past.length > 0,
    canRedo: shown.future.length > 0,
    change: (next, joins = '') => {
      if (next === value) return;
      const step = joins === '' ? '' : `${name} ${joins}`;
      const now = standing(app, kind, id);
      const steps = stepsThatLeadTo(app, kind, now ?? value);
      const ours = now === null || sameBut(now, value) || steps !== NONE;
      const goesOn = step !== '' && typing === step && steps.past.length > 0;
      typing = step;
      const past = goesOn ? steps.past : [...steps.past, value].slice(-MOST);
      // A change of what another window has changed since names none that it follows, so that both are kept.
      put(app, kind, next, { past, future: [] }, ours ? revisionOf(app, kind, id) : null);
    },
    undo: () =>
      travel(({ past, future }, now) => {
        const before = past.at(-1);
        if (before === undefined) return null;
        return { value: before, past: past.slice(0, -1), future: [now, ...future] };
      }),
    redo: () =>
      travel(({ past, future }, now) => {
        const [next, ...rest] = future;
        return next === undefined ? null : { value: next, past: [...past, now], future: rest };
      }),
    retry: () => void app.queue.of(kind).retry(id),
  };
}

interface Travelled {
  readonly value: unknown;
  readonly past: readonly unknown[];
  readonly future: readonly unknown[];
}

/**
 * Puts something in the place of what stands there, as one step.
 * @returns what takes it back, unless anything was done since, here or in another window; it then says false.
 */
export function replaceRecord<T extends Edited>(app: App, kind: Kind<T>, next: T): () => boolean {
  const { id } = next;
  const before = standing(app, kind, id);
  if (before === null) return () => false;
  typing = '';
  const { past } = stepsThatLeadTo(app, kind, before);
  const steps = { past: [...past, before].slice(-MOST), future: [] };
  const after = put(app, kind, next, steps, revisionOf(app, kind, id));
  return () => {
    const there = standing(app, kind, id);
    const now = done.get(nameOf(kind, id));
    if (there === null || now?.past !== after.past || !sameBut(now.left, there)) return false;
    put(app, kind, before, { past, future: [there] }, revisionOf(app, kind, id));
    return true;
  };
}

/** Writes a change of what the library has at once; undoing on its page knows it as a step. */
export async function saveStep<T extends Edited>(
  app: App,
  kind: Kind<T>,
  { value: before, revision }: Stored<T>,
  next: T,
): Promise<SaveResult<Stored<T>>> {
  const left = touched(app, next);
  const saved = await app.store.of(kind).save(left, revision);
  if (saved.kind === 'saved') {
    const { past } = stepsThatLeadTo(app, kind, before);
    typing = '';
    done.set(nameOf(kind, left.id), { past: [...past, before].slice(-MOST), future: [], left });
  }
  return saved;
}

/**
 * The steps that lead to what stands there. Where another window has changed it, or a file that came, they lead
 * to what is no more: they are given up, and that is said, since going back by them would write over what was done there.
 */
export function stepsThatLeadTo<T extends Edited>(app: App, kind: Kind<T>, now: T): Steps {
  const name = nameOf(kind, now.id);
  const steps = done.get(name);
  if (steps === undefined) return NONE;
  if (sameBut(steps.left, now)) {
    // The same object is compared faster the next time.
    if (steps.left !== now) done.set(name, { ...steps, left: now });
    return done.get(name)!;
  }
  done.delete(name);
  // Where both were kept the page says so itself.
  if (app.queue.of(kind).status(now.id).kind !== 'kept both') {
    app.notices.show({
      kind: 'offer',
      text: `“${shownTitle(kind.identityOf(now))}” was changed elsewhere. What was done here before can no longer be undone one by one.`,
    });
  }
  return NONE;
}

/** What stands there, with what is not on the disk yet. */
function standing<T>(app: App, kind: Kind<T>, id: string): T | null {
  const status = app.queue.of(kind).status(id);
  return 'draft' in status ? status.draft : (app.store.of(kind).get(id)?.value ?? null);
}

const revisionOf = <T>(app: App, kind: Kind<T>, id: string): Revision | null =>
  app.store.of(kind).get(id)?.revision ?? null;

const nameOf = (kind: { readonly name: string }, id: string) => `${kind.name} ${id}`;

function touched<T extends Edited>(app: App, value: T): T {
  return { ...value, meta: { ...value.meta, modified: app.now() } };
}

/** @param base What it is made from. */
function put<T extends Edited>(
  app: App,
  kind: Kind<T>,
  value: T,
  { past, future }: Omit<Steps, 'left'>,
  base: Revision | null,
): Steps {
  const left = touched(app, value);
  const steps = { past, future, left };
  done.set(nameOf(kind, value.id), steps);
  app.queue.of(kind).edit(left, base);
  return steps;
}

/** Whether two are the same but for the time of change; what is read again may have its fields in another order. */
function sameBut(a: unknown, b: unknown, but = false): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const one = a as Readonly<Record<string, unknown>>;
  const other = b as Readonly<Record<string, unknown>>;
  const names = new Set([...Object.keys(one), ...Object.keys(other)]);
  if (but) names.delete('modified');
  return [...names].every((n) => sameBut(one[n], other[n], !but && n === 'meta'));
}
