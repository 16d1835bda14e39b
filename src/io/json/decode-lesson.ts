import { layForm } from '../../core/form/lay';
import {
  barsOfSection,
  LONGEST_SECTION,
  numeralProblems,
  writtenOut,
} from '../../core/form/numerals';
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

/**
 * A song form of the user's own from JSON text or a parsed value, checked like a lesson. Bars that are said to be as the one
 * before are written out.
 */
export function decodeForm(input: unknown): Result<OwnForm> {
  const read = structured(input, FORM_MIGRATIONS, ownFormSchema);
  if (!read.ok) return read;
  const form = barsWrittenOut(read.value);
  const laid = layForm(formOfOwn(form), { letter: 'C', alter: 0 });
  const fits = form.sections.every((s) => s.bars.length <= LONGEST_SECTION);
  if (laid.ok && fits) return ok(form);
  const here = notLaid(read.value);
  if (here.length > 0 || laid.ok) return fail(...here);
  return fail(...laid.problems.map((p) => ({ ...p, pointer: '/sections' })));
}

function barsWrittenOut(form: OwnForm): OwnForm {
  const [first, ...rest] = form.sections;
  const full = (s: typeof first) => ({ ...s, bars: writtenOut(s.bars) });
  return { ...form, sections: [full(first), ...rest.map(full)] };
}

/** What is wrong with the numerals, with the section and with the bar as it is counted in the whole form. */
function notLaid({ sections, mode, meter }: OwnForm): readonly Problem[] {
  const problems: Problem[] = [];
  let before = 0;
  for (const [i, s] of sections.entries()) {
    for (const p of numeralProblems(s.bars, mode, meter, 'taken')) {
      const bar = p.bar === undefined ? {} : { bar: before + p.bar };
      problems.push({ ...p, ...bar, pointer: `/sections/${i}/bars` });
    }
    before += barsOfSection(s).length;
  }
  return problems.slice(0, MOST_PROBLEMS);
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
