import { addPhrases, removeItem } from '../../core/lesson/edit';
import type { Lesson } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { count } from '../shared/words';
import type { App } from './app-context';
import { type Done, whyNot } from './order-steps';
import { phrasesOf } from './phrases-of';

/** Puts phrases at the end of a lesson, those left out that it shows already. */
export async function putIntoLesson(
  app: App,
  ids: readonly string[],
  wish: { readonly lesson?: string | null },
): Promise<Done> {
  if (wish.lesson === undefined || wish.lesson === null) return null;
  const all = app.store.of(LESSONS);
  await app.queue.flush();
  const phrases = await phrasesOf(app.store, ids);
  const there = all.get(wish.lesson);
  if (there === null) return { refused: ['The lesson is not in the library any more.'] };
  const touched = (l: Lesson) => ({ ...l, meta: { ...l.meta, modified: app.now() } });
  const after = addPhrases(there.value, phrases);
  if (after === there.value) return null;
  const saved = await all.save(touched(after), there.revision);
  if (saved.kind !== 'saved') return { refused: whyNot(saved) };
  const added = after.items.slice(there.value.items.length).map((i) => i.id);
  const { title } = there.value.meta;
  return {
    said: `${count(added.length, 'phrase')} put into the lesson “${title.trim() === '' ? 'Untitled' : title}”`,
    undo: async () => {
      await app.queue.flush();
      const current = all.get(after.id);
      if (current === null) return [];
      const before = touched(added.reduce(removeItem, current.value));
      return whyNot(await all.save(before, current.revision));
    },
  };
}
