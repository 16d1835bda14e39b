import { useSyncExternalStore } from 'react';
import type { Lesson } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { useApp, usePageTitle } from '../frame/app-context';
import { restoreThings } from '../frame/keep-and-remove';
import { addressOf } from '../frame/route';
import { refusalInWords } from '../shared/save-words';
import { count } from '../shared/words';
import '../shared/pages.css';
import { FormList } from './form-list';
import { PlanList } from './plan/plan-list';
import { RecordList, type RecordRow } from './record-list';
import './lesson.css';

/** `#/lessons`: every lesson of the library, the one changed last first. */
export function LessonsPage() {
  usePageTitle('Lessons');
  const app = useApp();
  const { store, notices } = app;
  const all = store.of(LESSONS);
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => all.all(),
  );
  const lessons = stored
    .map((s) => s.value)
    .sort((a, b) => b.meta.modified.localeCompare(a.meta.modified));
  const remove = async (lesson: Lesson) => {
    const gone = await all.remove([lesson.id]);
    if (gone.kind !== 'done') {
      notices.trouble('The lesson was not removed.', refusalInWords(gone));
      return false;
    }
    notices.done(`“${lessonTitle(lesson)}” was removed.`, {
      label: 'Undo',
      run: () => void restoreThings(app, [{ kind: LESSONS, id: lesson.id }]),
    });
    return true;
  };
  const rows = lessons.map(
    (l): RecordRow => ({
      id: l.id,
      title: lessonTitle(l),
      href: addressOf({ page: 'lesson', id: l.id, query: {} }),
      facts: count(l.items.length, 'item'),
      removes: lessonTitle(l),
      remove: () => remove(l),
    }),
  );
  return (
    <article className="page">
      <header>
        <h1 id="lessons" tabIndex={-1}>
          Lessons
        </h1>
        <p>
          Pages for students: phrases, texts and exercises in order, on paper or as one file that
          plays. To make one, choose phrases in the library; to practise one, open it.
        </p>
      </header>
      {rows.length === 0 ? <p>There is no lesson yet.</p> : null}
      <RecordList rows={rows} headingId="lessons" />
      <PlanList />
      <FormList />
    </article>
  );
}

/** What a lesson is called where it is shown. */
export function lessonTitle({ meta }: Lesson): string {
  return meta.title.trim() === '' ? 'Untitled' : meta.title;
}
