import { addPhrases, removeItems } from '../../core/lesson/edit';
import { MOST_ITEMS } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { count } from '../shared/words';
import type { App } from './app-context';
import { tooMany, withTheirForms } from './make-lesson';
import { type Done, whyNot } from './order-steps';
import { phrasesOf } from './phrases-of';
import { saveStep } from './record-steps';

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
  const added = addPhrases(there.value, phrases);
  if (added === there.value) return null;
  const { lesson: after, missing } = await withTheirForms(app, added, there.value);
  if (after.items.length > MOST_ITEMS) return { refused: [tooMany(after.items.length)] };
  const saved = await saveStep(app, LESSONS, there, after);
  if (saved.kind !== 'saved') return { refused: whyNot(saved) };
  const known = new Set(there.value.items.map((i) => i.id));
  const fresh = after.items.map((i) => i.id).filter((id) => !known.has(id));
  const many = added.items.length - there.value.items.length;
  const { title } = there.value.meta;
  return {
    said: `${count(many, 'phrase')} put into the lesson “${title.trim() === '' ? 'Untitled' : title}”${missing.map((text) => `. ${text.slice(0, -1)}`).join('')}`,
    undo: async () => {
      await app.queue.flush();
      const current = all.get(after.id);
      if (current === null) return [];
      const before = removeItems(current.value, ...fresh);
      return whyNot(await saveStep(app, LESSONS, current, before));
    },
  };
}
