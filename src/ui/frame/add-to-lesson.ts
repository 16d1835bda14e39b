import { lessonOf } from '../../core/lesson/edit';
import type { Lesson } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { refusalInWords } from '../shared/save-words';
import type { App } from './app-context';
import { saveStep } from './record-steps';
import { navigate } from './use-route';

/**
 * Puts something into a lesson, or into a new one of that title; said only once it is on the disk. What
 * is being written in the lesson at this moment goes along.
 */
export async function addToLesson(
  app: App,
  into: { readonly id: string } | { readonly title: string },
  add: (lesson: Lesson) => Lesson,
): Promise<void> {
  const all = app.store.of(LESSONS);
  await app.queue.flush();
  const now = app.now();
  const before = 'id' in into ? all.get(into.id) : null;
  const lesson =
    before?.value ??
    lessonOf([], { id: app.newId(), now, title: 'title' in into ? into.title : 'Lesson' });
  const next = add(lesson);
  const saved =
    before === null ? await all.save(next, null) : await saveStep(app, LESSONS, before, next);
  if (saved.kind !== 'saved') {
    const why = saved.kind === 'conflict' ? [] : refusalInWords(saved);
    app.notices.trouble('It was not put into the lesson.', why);
    return;
  }
  const title = lesson.meta.title.trim() === '' ? 'Untitled' : lesson.meta.title;
  app.notices.done(`It is in “${title}”.`, {
    label: 'Go to the lesson',
    run: () => navigate({ page: 'lesson', id: lesson.id, query: {} }),
  });
}
