import { layForm } from '../../core/form/lay';
import { formOfOwn, type OwnForm } from '../../core/form/types';
import { checkLesson } from '../../core/lesson/check';
import type { Lesson } from '../../core/lesson/types';
import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { decodePhrase } from './decode';
import { asDocument, readDocument, wrongFormat } from './document';
import { lessonShell, ownFormSchema } from './lesson-schema';
import { LIMITS } from './limits';
import { checkVersion, migrate, type RawDocument } from './migrate';
import { checkSize } from './size';
import { shaped, structured } from './structured';
import { FORM_MIGRATIONS, LESSON_MIGRATIONS } from './versions';

/**
 * A lesson from JSON text or a parsed value, with its phrases: migrated to the newest version, structure
 * and sense checked. Never throws; time and memory are bounded (`LIMITS`).
 */
export function decodeLesson(input: unknown): Result<Lesson> {
  const document = newest(input);
  if (!document.ok) return document;
  const shell = shaped(lessonShell, document.value);
  if (!shell.ok) return shell;
  const phrases: Phrase[] = [];
  const problems: Problem[] = [];
  for (const [i, raw] of shell.value.phrases.entries()) {
    const phrase = asDocument(raw);
    const read = phrase.ok ? decodePhrase(phrase.value) : phrase;
    if (read.ok) phrases.push(read.value);
    else {
      problems.push(
        ...read.problems.map((x) => ({ ...x, pointer: `/phrases/${i}${x.pointer ?? ''}` })),
      );
    }
    if (problems.length >= MOST_PROBLEMS) break;
  }
  if (problems.length > 0) return { ok: false, problems };
  const lesson: Lesson = { ...shell.value, phrases };
  const senseless = checkLesson(lesson);
  return senseless.length === 0 ? ok(lesson) : fail(...senseless);
}

/** A song form of the user's own from JSON text or a parsed value, checked like a lesson. */
export function decodeForm(input: unknown): Result<OwnForm> {
  const read = structured(input, FORM_MIGRATIONS, ownFormSchema);
  if (!read.ok) return read;
  const laid = layForm(formOfOwn(read.value), { letter: 'C', alter: 0 });
  return laid.ok ? read : fail(...laid.problems.map((p) => ({ ...p, pointer: '/sections' })));
}

const MOST_PROBLEMS = 20;

/** The document of a lesson in its newest version; its phrases are measured one by one. */
function newest(input: unknown): Result<RawDocument> {
  const document = readDocument(input, LIMITS.phraseText);
  if (!document.ok) return document;
  const wrong =
    wrongFormat(document.value, LESSON_MIGRATIONS.format) ??
    checkVersion(LESSON_MIGRATIONS, document.value) ??
    checkSize({ ...document.value, phrases: [] });
  return wrong === null ? migrate(LESSON_MIGRATIONS, document.value) : fail(wrong);
}
