import { useState, useSyncExternalStore } from 'react';
import { type SoloGiven, withSolo } from '../../core/lesson/solo';
import { LESSONS } from '../../io/kinds/kinds';
import { addToLesson } from '../frame/add-to-lesson';
import { useApp } from '../frame/app-context';

const NEW = '';

/** Puts the solo with its form into a lesson that is there, or into a new one. */
export function IntoLesson({ solo }: { readonly solo: SoloGiven }) {
  const app = useApp();
  const all = app.store.of(LESSONS);
  const lessons = useSyncExternalStore(
    (changed) => app.store.subscribe(changed),
    () => all.all(),
  );
  const [chosen, setChosen] = useState(NEW);
  const into = lessons.some((l) => l.id === chosen) ? chosen : NEW;
  const add = () => {
    // What lies in a lesson is a copy with an id of its own, so that the same solo can lie there twice.
    const phrase = { ...solo.phrase, id: app.newId() };
    const comping = solo.comping === null ? null : { ...solo.comping, id: app.newId() };
    const title = `Lesson: ${phrase.meta.title}`;
    void addToLesson(app, into === NEW ? { title } : { id: into }, (lesson) =>
      withSolo(lesson, { ...solo, phrase, comping }),
    );
  };
  return (
    <span className="into-lesson">
      <label>
        <span>Lesson</span>{' '}
        <select value={into} onChange={(e) => setChosen(e.target.value)}>
          <option value={NEW}>a new one</option>
          {lessons.map(({ id, value }) => (
            <option key={id} value={id}>
              {value.meta.title.trim() === '' ? 'Untitled' : value.meta.title}
            </option>
          ))}
        </select>
      </label>
      <button type="button" onClick={add}>
        Put it into the lesson
      </button>
    </span>
  );
}
