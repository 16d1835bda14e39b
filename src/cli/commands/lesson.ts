import { formOfOwn, type OwnForm } from '../../core/form/types';
import { lessonOfContent } from '../../core/lesson/content';
import type { Lesson } from '../../core/lesson/types';
import { formsMissing, withForms } from '../../core/lesson/with-forms';
import type { Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { COLLECTIONS, FORMS, LESSONS } from '../../io/kinds/kinds';
import { lessonPage, type PageLook } from '../../publish/lesson/write';
import type { Source } from '../input';
import type { LessonCommand } from '../lesson-flags';
import { ofKind } from '../of-kind';
import type { Shell } from '../shell';
import { count } from '../words';

/** Writes phrases as a lesson, or a lesson as it is; several lessons are no lesson. */
export async function writeLesson(
  shell: Shell,
  wish: LessonCommand,
  sources: readonly Source[],
): Promise<void> {
  const made = lessonFrom(shell, wish, sources);
  if (made === null) return;
  const page = /\.html$/iu.test(wish.out);
  // What is written has to open again: a lesson holds only so many items.
  await LESSONS.ready?.();
  const opens = LESSONS.decode(made);
  if (!opens.ok) return shell.refuse(wish.files.join(', '), opens.problems);
  const text = page ? await lessonPage(made, lookOf(wish)) : `${JSON.stringify(made, null, 2)}\n`;
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

/** What is named `X.pdf-ready.html` is for paper alone. */
function lookOf({ out, size, sheet }: LessonCommand): PageLook {
  return {
    ...(size !== null && { size }),
    ...(sheet !== null && { sheet }),
    plays: !/\.pdf-ready\.html$/iu.test(out),
  };
}

function lessonFrom(shell: Shell, wish: LessonCommand, sources: readonly Source[]): Lesson | null {
  const lessons = sources.flatMap((s) => ofKind(s.others ?? [], LESSONS));
  const [first] = lessons;
  if (lessons.length > 1) {
    shell.misuse({ message: 'the files hold several lessons', fix: 'Name one of them.' });
    return null;
  }
  const retitled = (l: Lesson) =>
    wish.title === null ? l : { ...l, meta: { ...l.meta, title: wish.title } };
  if (first !== undefined) return retitled(first);
  const content = contentOf(shell, wish, sources);
  if (content === null) return null;
  const title = wish.title ?? content[0]!.meta.title;
  const lesson = lessonOfContent(content, {
    id: shell.io.newId(),
    now: shell.io.now().toISOString(),
    title,
    tonic: wish.key?.tonic ?? null,
  });
  const own = sources.flatMap((s) => ofKind(s.others ?? [], FORMS));
  const forms = own.map(formOfOwn);
  for (const line of formsMissing(lesson, forms)) shell.remark(`${line}\n`);
  return withForms(lesson, forms);
}

/** Phrases and forms in the order in which the files were named; null where that is nothing, which is told. */
function contentOf(
  shell: Shell,
  wish: LessonCommand,
  sources: readonly Source[],
): readonly (Phrase | OwnForm)[] | null {
  const refuse = (problem: Problem) => shell.refuse(wish.files.join(', '), [problem]);
  // What lies in a library or a folder beside the phrases was not asked for by its name.
  const alone = (s: Source) => !s.library && s.phrases.length === 0 && wish.files.includes(s.path);
  const collections = sources.flatMap((s) => (alone(s) ? ofKind(s.others ?? [], COLLECTIONS) : []));
  const phrases = sources.flatMap((s) => s.phrases);
  if (collections.length > 0) {
    const byId = new Map(phrases.map((p) => [p.id, p]));
    const ids = [...new Set(collections.flatMap((c) => c.phrases))];
    const found = ids.flatMap((id) => byId.get(id) ?? []);
    const gone = ids.length - found.length;
    const titles = collections.map((c) => `'${c.meta.title}'`).join(', ');
    if (found.length === 0) {
      refuse({
        message: `the collection ${titles} names phrases and holds none`,
        fix: 'Name the library that holds them as well: lesson COLLECTION.json LIBRARY.json -o OUT.html',
      });
      return null;
    }
    if (gone > 0)
      shell.remark(
        `of ${titles} ${count(gone, 'phrase')} ${gone === 1 ? 'is' : 'are'} in none of the files\n`,
      );
    // Of a library only some are wanted; a phrase that was named by its file would be missed.
    const named = new Set(ids);
    for (const s of sources) {
      if (s.library || !wish.files.includes(s.path) || s.phrases.length === 0) continue;
      if (s.phrases.some((p) => named.has(p.id))) continue;
      shell.remark(`${s.path}: left out, as ${titles} does not name it\n`);
    }
    const forms = sources.flatMap((s) => (alone(s) ? ofKind(s.others ?? [], FORMS) : []));
    return [...forms, ...found];
  }
  const all = sources.flatMap((s) => [
    ...(alone(s) ? ofKind(s.others ?? [], FORMS) : []),
    ...s.phrases,
  ]);
  if (all.length > 0) return all;
  refuse({
    message: 'there is nothing here that a lesson could show',
    fix: 'Give phrases, a form of your own in a file of its own, or a lesson.',
  });
  return null;
}
