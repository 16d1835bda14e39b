import { changedTogether, type Together } from '../../core/library/bulk';
import { newCollection, withoutPhrases, withPhrases } from '../../core/library/collection';
import { newUse, notYetUsed } from '../../core/library/use';
import { COLLECTIONS, USES } from '../../io/kinds/kinds';
import { count, dayName } from '../shared/words';
import type { App } from './app-context';
import { aroundLibrary } from './around-library';
import { changeBack, changeEach } from './change-together';
import { type Done, type Step, whyNot } from './order-steps';
import { putIntoLesson } from './put-into-lesson';
import { saveStep } from './record-steps';

/** What is to be done with chosen phrases at once. */
export interface OrderWish {
  /** The collection to put them into: one that is there, or a new one of that title. */
  readonly into: { readonly id: string } | { readonly title: string } | null;
  /** Id of the lesson to put them into; null for none. */
  readonly lesson?: string | null;
  readonly change: Together;
  /** The calendar day on which they were used; null for none. */
  readonly usedOn: string | null;
}

/** Puts phrases in order in one go, with one way back for all of it. */
export async function orderTogether(
  app: App,
  ids: readonly string[],
  wish: OrderWish,
): Promise<void> {
  const steps: Step[] = [];
  const troubles: string[] = [];
  for (const work of [putInto, putIntoLesson, changeFields, markUsed]) {
    const done = await work(app, ids, wish);
    if (done === null) continue;
    if ('said' in done) steps.push(done);
    else troubles.push(...done.refused);
  }
  if (troubles.length > 0) app.notices.trouble('Not all of it was done.', troubles);
  if (steps.length === 0) {
    if (troubles.length === 0) app.notices.done('Nothing was to be changed.');
    return;
  }
  const said = steps.map((s) => s.said).join('; ');
  app.notices.done(`${said[0]!.toUpperCase()}${said.slice(1)}.`, {
    label: 'Undo',
    run: () => {
      void (async () => {
        const left: string[] = [];
        for (const step of [...steps].reverse()) left.push(...(await step.undo()));
        if (left.length === 0) app.notices.done('Taken back.');
        else app.notices.trouble('Not all of it could be taken back.', left);
      })();
    },
  });
}

async function putInto(app: App, ids: readonly string[], { into }: OrderWish): Promise<Done> {
  if (into === null || ids.length === 0) return null;
  const all = app.store.of(COLLECTIONS);
  await app.queue.flush();
  const there = 'id' in into ? all.get(into.id) : null;
  const now = app.now();
  const before =
    there?.value ??
    newCollection([], { id: app.newId(), now, title: 'title' in into ? into.title : '' });
  const after = withPhrases(before, ids);
  if (there !== null && after === before) return null;
  const saved =
    there === null ? await all.save(after, null) : await saveStep(app, COLLECTIONS, there, after);
  if (saved.kind !== 'saved') return { refused: whyNot(saved) };
  const known = new Set(before.phrases);
  const added = ids.filter((id) => !known.has(id));
  const title = before.meta.title.trim() === '' ? 'Untitled' : before.meta.title;
  return {
    said: `${count(added.length, 'phrase')} put into “${title}”`,
    undo: async () => {
      if (there === null) return whyNot(await all.remove([before.id]));
      await app.queue.flush();
      const current = all.get(before.id);
      if (current === null) return [];
      const without = withoutPhrases(current.value, added);
      return whyNot(await saveStep(app, COLLECTIONS, current, without));
    },
  };
}

async function changeFields(
  app: App,
  ids: readonly string[],
  { change }: OrderWish,
): Promise<Done> {
  const { changed, refused } = await changeEach(app, ids, (p) => changedTogether(p, change), {
    command: 'library.together',
    label: 'a change of several phrases',
  });
  if (refused !== null && changed.length === 0) return { refused };
  if (refused !== null) app.notices.trouble('The rest was not changed.', refused);
  if (changed.length === 0) return null;
  return {
    said: `${count(changed.length, 'phrase')} changed`,
    undo: async () => (await changeBack(app, changed)) ?? [],
  };
}

/** Writes down that phrases were used; those that were on that day already are left out. */
async function markUsed(app: App, ids: readonly string[], { usedOn }: OrderWish): Promise<Done> {
  if (usedOn === null) return null;
  const fresh = notYetUsed(ids, usedOn, aroundLibrary(app.store).uses);
  if (fresh.length === 0) return null;
  const use = newUse(fresh, { id: app.newId(), now: app.now(), day: usedOn });
  const saved = await app.store.of(USES).save(use, null);
  if (saved.kind !== 'saved') return { refused: whyNot(saved) };
  return {
    said: `${count(fresh.length, 'phrase')} marked as used on ${dayName(usedOn)}`,
    undo: async () => whyNot(await app.store.of(USES).remove([use.id])),
  };
}

/** Notes that phrases were used today, as part of something else: said by nobody, and at most once a day. */
export async function noteUse(app: App, ids: readonly string[], title: string): Promise<void> {
  const { uses, today } = aroundLibrary(app.store);
  const here = ids.filter((id) => app.store.phrase(id) !== null);
  const fresh = notYetUsed(here, today, uses);
  if (fresh.length === 0) return;
  const use = newUse(fresh, {
    id: app.newId(),
    now: app.now(),
    day: today,
    title: title.slice(0, 500),
  });
  await app.store.of(USES).save(use, null);
}
