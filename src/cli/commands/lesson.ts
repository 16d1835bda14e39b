import { lessonOf } from '../../core/lesson/edit';
import type { Lesson } from '../../core/lesson/types';
import { LESSONS } from '../../io/kinds/kinds';
import { lessonPage } from '../../publish/lesson/write';
import type { Source } from '../input';
import { ofKind } from '../of-kind';
import type { Shell } from '../shell';
import { count } from '../words';

interface Wish {
  readonly files: readonly string[];
  readonly title: string | null;
  readonly out: string;
  readonly force: boolean;
}

/** Writes phrases as a lesson, or a lesson as it is; several lessons are no lesson. */
export async function writeLesson(
  shell: Shell,
  wish: Wish,
  sources: readonly Source[],
): Promise<void> {
  const made = lessonFrom(shell, wish, sources);
  if (made === null) return;
  const page = /\.html$/iu.test(wish.out);
  // What is written has to open again: a lesson holds only so many items.
  await LESSONS.ready?.();
  const opens = LESSONS.decode(made);
  if (!opens.ok) return shell.refuse(wish.files.join(', '), opens.problems);
  const text = page ? await lessonPage(made) : `${JSON.stringify(made, null, 2)}\n`;
  const bytes = new TextEncoder().encode(text);
  const written = await shell.io.files.write(wish.out, bytes, wish.force);
  if (!written.ok) return shell.refuse(wish.out, written.problems);
  if (written.value === 'taken') {
    return shell.misuse({
      message: `there is a file '${wish.out}' already`,
      fix: 'Add --force to replace it.',
    });
  }
  shell.print(`wrote ${wish.out}: ${count(made.items.length, 'item')}\n`);
}

function lessonFrom(shell: Shell, wish: Wish, sources: readonly Source[]): Lesson | null {
  const lessons = sources.flatMap((s) => ofKind(s.others ?? [], LESSONS));
  const [first] = lessons;
  if (lessons.length > 1) {
    shell.misuse({ message: 'the files hold several lessons', fix: 'Name one of them.' });
    return null;
  }
  const retitled = (l: Lesson) =>
    wish.title === null ? l : { ...l, meta: { ...l.meta, title: wish.title } };
  if (first !== undefined) return retitled(first);
  const phrases = sources.flatMap((s) => s.phrases);
  const [phrase] = phrases;
  if (phrase === undefined) {
    shell.refuse(wish.files.join(', '), [{ message: 'there is no phrase for a lesson' }]);
    return null;
  }
  const now = shell.io.now().toISOString();
  return lessonOf(phrases, {
    id: shell.io.newId(),
    now,
    title: wish.title ?? phrase.meta.title,
  });
}
