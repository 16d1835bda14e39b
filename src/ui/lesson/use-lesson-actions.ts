import { useMemo } from 'react';
import type { Lesson } from '../../core/lesson/types';
import { fileStem } from '../../publish/file-names';
import type { PaperSize } from '../../publish/lesson/sizes';
import type { Action } from '../frame/actions';
import { type App, useActions, useApp } from '../frame/app-context';
import type { useExport } from '../frame/export/use-export';
import { noteUse } from '../frame/order-together';
import { navigate } from '../frame/use-route';
import { onDemand } from '../shared/on-demand';
import { saveFile } from '../shared/save-file';
import { exportMusic } from './export-music';
import { lessonTitle } from './lessons-page';
import { practiseLesson } from './plan/plan-actions';
import type { LessonEdits } from './use-lesson';

const writing = onDemand('What writes lessons', () =>
  import('../../publish/lesson/write').then((m) => m.lessonPage),
);

/** What can be done with a lesson, put into the list of everything that can be done. */
export function useLessonActions(
  edits: LessonEdits,
  openExport: ReturnType<typeof useExport>['open'],
  size: PaperSize,
): readonly Action[] {
  const { lesson } = edits;
  const app = useApp();
  const actions = useMemo(() => {
    const of = (id: string, name: string, run: () => void, blocked?: string) => ({
      id,
      title: name,
      group: 'Lesson',
      ...(blocked === undefined ? {} : { blocked }),
      run,
    });
    return [
      of('lesson.page', 'Save it as a page that plays', () => void savePage(app, lesson, size)),
      of('lesson.practise', 'Practise this lesson', () => void practiseLesson(app, lesson)),
      of('lesson.print', 'Print the lesson', () => {
        window.print();
        noteHandedOut(app, lesson);
      }),
      of('lesson.music', 'Export its music', () => exportMusic(lesson, app.notices, openExport)),
      of('lesson.versions', 'See its earlier versions', () =>
        navigate({ page: 'past', of: 'lesson', id: lesson.id, query: {} }),
      ),
      of('lesson.data', 'Save the lesson as data', () =>
        saveFile({
          name: `${fileStem(lesson.meta.title)}.json`,
          type: 'application/json',
          content: `${JSON.stringify(lesson, null, 2)}\n`,
        }),
      ),
      of('lesson.undo', 'Undo', edits.undo, edits.canUndo ? undefined : 'Nothing was changed.'),
      of('lesson.redo', 'Do again', edits.redo, edits.canRedo ? undefined : 'Nothing was undone.'),
    ];
  }, [app, lesson, openExport, edits, size]);
  useActions(actions);
  return actions;
}

/** Handing it out is using its phrases; a lesson says so by itself. */
function noteHandedOut(app: App, lesson: Lesson): void {
  const ids = lesson.phrases.map((p) => p.id);
  void noteUse(app, ids, lessonTitle(lesson));
}

async function savePage(app: App, lesson: Lesson, size: PaperSize): Promise<void> {
  try {
    const content = await (await writing.get())(lesson, { size });
    const name = `${fileStem(lesson.meta.title)}.html`;
    saveFile({ name, type: 'text/html', content });
    app.notices.done(`Saved as ${name}. It plays without a network.`);
    noteHandedOut(app, lesson);
  } catch (reason) {
    app.notices.trouble(reason instanceof Error ? reason.message : String(reason));
  }
}
