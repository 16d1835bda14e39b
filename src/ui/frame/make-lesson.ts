import { formOfOwn } from '../../core/form/types';
import { lessonOf } from '../../core/lesson/edit';
import { type Lesson, MOST_ITEMS } from '../../core/lesson/types';
import type { Phrase } from '../../core/phrase/types';
import { FORMS, LESSONS } from '../../io/kinds/kinds';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import type { App } from './app-context';
import { phrasesOf } from './phrases-of';
import { navigate } from './use-route';

/** Makes a lesson of phrases that are read for it; too many are refused before one is read. */
export async function makeLessonOf(app: App, ids: readonly string[]): Promise<void> {
  if (ids.length > MOST_ITEMS) {
    app.notices.trouble('The lesson was not made.', [tooMany(ids.length)]);
    return;
  }
  await makeLesson(app, await phrasesOf(app.store, ids));
}

/**
 * Makes a lesson of phrases and goes to it; said only once it is on the disk.
 * @param called Its title; made of theirs where absent.
 */
export async function makeLesson(
  app: App,
  phrases: readonly Phrase[],
  called?: string,
): Promise<void> {
  const [first] = phrases;
  if (first === undefined) return;
  if (phrases.length > MOST_ITEMS) {
    app.notices.trouble('The lesson was not made.', [tooMany(phrases.length)]);
    return;
  }
  const more = phrases.length === 1 ? '' : ` and ${phrases.length - 1} more`;
  const title = called ?? `Lesson: ${titleOf(first)}${more}`;
  const { lesson, missing } = await withTheirForms(
    app,
    lessonOf(phrases, { id: app.newId(), now: app.now(), title }),
  );
  const all = app.store.of(LESSONS);
  const saved = await all.save(lesson, null);
  if (saved.kind !== 'saved') {
    const why = saved.kind === 'conflict' ? [] : refusalInWords(saved);
    app.notices.trouble('The lesson was not kept.', why);
    return;
  }
  navigate({ page: 'lesson', id: lesson.id, query: {} });
  app.notices.done([`“${title}” is kept.`, ...missing].join(' '), {
    label: 'Undo',
    run: () => {
      void all.remove([lesson.id]);
      navigate({ page: 'library', query: {} });
    },
  });
}

/** Why a lesson with so many items is not kept. */
export function tooMany(items: number): string {
  return `A lesson holds ${MOST_ITEMS} items at most, and this one would have ${items}. Choose fewer.`;
}

/** With the forms of its solos; of what the lesson showed before, none is added. What brings none is told. */
export async function withTheirForms(
  app: App,
  lesson: Lesson,
  since?: Lesson,
): Promise<{ readonly lesson: Lesson; readonly missing: readonly string[] }> {
  if (lesson.items.every((i) => i.kind !== 'solo')) return { lesson, missing: [] };
  const { withForms, formsMissing } = await import('../../core/lesson/with-forms');
  const all = app.store.of(FORMS).all();
  const own = all.map((s) => formOfOwn(s.value));
  const missing = formsMissing(lesson, own, since).map((text) => `${text}.`);
  return { lesson: withForms(lesson, own, since), missing };
}
