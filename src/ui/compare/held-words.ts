import { barsOfSection } from '../../core/form/numerals';
import type { OwnForm } from '../../core/form/types';
import type { Lesson } from '../../core/lesson/types';
import type { Collection } from '../../core/library/collection';
import type { Plan } from '../../core/plan/types';
import { typesetText } from '../../io/text/signs';
import { headingOf } from '../../publish/lesson/items';
import { count } from '../shared/words';

/** What something holds, in lines of text; what a line says more stands in paragraphs of its own. */
export interface Held {
  readonly line: string;
  readonly more: readonly string[];
  /** It says something of the whole, and is none of its parts, which are numbered. */
  readonly whole?: true;
}

/** What a lesson holds, item by item. */
export function lessonHeld(lesson: Lesson): readonly Held[] {
  const { intro } = lesson.meta;
  const items = lesson.items.map((item): Held => {
    const line = item.heading ?? headingOf(lesson, item);
    const texts = [item.kind === 'text' ? item.text : undefined, item.todo];
    const more = texts.flatMap((t) => (t === undefined ? [] : t.split(/\n{2,}/u)));
    return { line: line === '' ? 'Text' : line, more };
  });
  return [
    ...(intro === undefined
      ? []
      : [{ line: 'What it is for', more: [intro], whole: true as const }]),
    ...items,
  ];
}

/** The sections of a form, in numerals. */
export function formHeld(form: OwnForm): readonly Held[] {
  const { meter, tempo, mode } = form;
  const head = `${mode}, ${meter.beats}/${meter.beatType}, ${tempo.unit.replace('-', ' ')} = ${tempo.bpm}`;
  const sections = form.sections.map((section): Held => {
    const bars = barsOfSection(section);
    const name = section.name === '' ? 'All' : section.name;
    return { line: `${name}: ${count(bars.length, 'bar')}`, more: [typesetText(bars.join(' | '))] };
  });
  return [{ line: head, more: [], whole: true }, ...sections];
}

/** The phrases of a collection by their titles. */
export function collectionHeld(
  { meta, phrases }: Collection,
  titleOf: (id: string) => string | null,
): readonly Held[] {
  const notes =
    meta.notes === undefined ? [] : [{ line: 'Notes', more: [meta.notes], whole: true as const }];
  const lines = phrases.map((id): Held => {
    return { line: titleOf(id) ?? 'A phrase that is not in the library', more: [] };
  });
  return [...notes, ...lines];
}

/** What was chosen of a plan. */
export function planHeld(plan: Plan): readonly Held[] {
  const { student, minutes, fresh, tempo } = plan;
  const lines = [
    ...(student === undefined ? [] : [`Student: ${student}`]),
    `${count(minutes, 'minute')} a day, ${count(fresh, 'new item')}`,
    `From ${tempo.from}% of the tempo by ${tempo.by} to ${tempo.to}%`,
  ];
  return lines.map((line) => ({ line, more: [], whole: true }));
}
