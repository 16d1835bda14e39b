import { partsOf } from '../phrase/parts';
import { headOf, type RecordBirth } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import {
  LESSON_VERSION,
  type Lesson,
  type LessonItem,
  type LessonMeta,
  MOST_PARTS,
  phrasesOfItem,
} from './types';

/** Phrases as a lesson: each an item, in the order given. */
export function lessonOf(phrases: readonly Phrase[], birth: RecordBirth): Lesson {
  const each = [...new Map(phrases.map((p) => [p.id, p])).values()];
  return {
    ...headOf('degreewise-lesson', LESSON_VERSION, birth),
    phrases: each,
    items: each.map((p, i) => itemOf(p, `i${i + 1}`)),
  };
}

/**
 * A phrase as an item. One made of others is a solo: what its parts are called stands beneath the music, in columns,
 * and what was written down of it while it was made is not printed a second time.
 */
export function itemOf(p: Phrase, id: string): LessonItem {
  const parts = partsOf(p).map(({ part, firstBar, lastBar }) => {
    return { firstBar: Math.max(1, firstBar), lastBar: Math.max(1, lastBar), title: part.title };
  });
  return parts.length === 0 || parts.length > MOST_PARTS
    ? { kind: 'phrase', id, phrase: p.id }
    : { kind: 'solo', id, phrase: p.id, parts };
}

/** An id for one more item. */
export function freeItemId(lesson: Lesson): string {
  return `i${freeNumber(lesson)}`;
}

function freeNumber({ items }: Lesson): number {
  const numbers = items.map((i) => Number(/^i(\d{1,9})$/u.exec(i.id)?.[1] ?? 0));
  return Math.max(0, ...numbers) + 1;
}

/**
 * The lesson with an item more, at a place or at its end.
 * @param brought The phrases it needs, where the lesson may not have them yet.
 */
export function addItem(
  lesson: Lesson,
  item: LessonItem,
  at = lesson.items.length,
  ...brought: readonly (Phrase | null)[]
): Lesson {
  const items = [...lesson.items.slice(0, at), item, ...lesson.items.slice(at)];
  const known = new Set(lesson.phrases.map((p) => p.id));
  const phrases = brought.filter((p) => p !== null && !known.has(p.id)) as readonly Phrase[];
  return pruned({ ...lesson, phrases: [...lesson.phrases, ...phrases], items });
}

/** The lesson with phrases at its end, those left out that it shows already. */
export function addPhrases(lesson: Lesson, phrases: readonly Phrase[]): Lesson {
  const whole = lesson.items.filter((i) => i.kind === 'phrase' || i.kind === 'solo');
  const shown = new Set(whole.map((i) => i.phrase));
  const fresh = [...new Map(phrases.map((p) => [p.id, p])).values()].filter(
    (p) => !shown.has(p.id),
  );
  if (fresh.length === 0) return lesson;
  const first = freeNumber(lesson);
  const known = new Set(lesson.phrases.map((p) => p.id));
  const items = fresh.map((p, i) => itemOf(p, `i${first + i}`));
  return {
    ...lesson,
    phrases: [...lesson.phrases, ...fresh.filter((p) => !known.has(p.id))],
    items: [...lesson.items, ...items],
  };
}

/** The lesson without some items, and without phrases that only they spoke of. */
export function removeItems(lesson: Lesson, ...ids: readonly string[]): Lesson {
  const gone = new Set(ids);
  return pruned({ ...lesson, items: lesson.items.filter((i) => !gone.has(i.id)) });
}

/** The lesson with an item so many places further down, or up; as it was where it cannot go. */
export function shiftItem(lesson: Lesson, id: string, by: number): Lesson {
  const from = lesson.items.findIndex((i) => i.id === id);
  const to = Math.max(0, Math.min(lesson.items.length - 1, from + by));
  if (from < 0 || to === from) return lesson;
  const items = lesson.items.filter((_, i) => i !== from);
  return { ...lesson, items: [...items.slice(0, to), lesson.items[from]!, ...items.slice(to)] };
}

/** The lesson with an item changed; its id and its kind stay. */
export function changeItem(
  lesson: Lesson,
  id: string,
  change: (i: LessonItem) => LessonItem,
): Lesson {
  return pruned({ ...lesson, items: lesson.items.map((i) => (i.id === id ? change(i) : i)) });
}

/** The item with a text set, or without it where it is empty. */
export function withText<I extends LessonItem>(
  item: I,
  field: 'heading' | 'todo',
  text: string,
): I {
  const { [field]: _, ...rest } = item;
  // The rest of an item with one of its own fields is that item.
  return (text === '' ? rest : { ...rest, [field]: text }) as I;
}

/** The lesson with other words about it; an empty introduction is left out. */
export function changeMeta(lesson: Lesson, meta: Partial<LessonMeta>): Lesson {
  const { intro, ...rest } = { ...lesson.meta, ...meta };
  return { ...lesson, meta: intro === undefined || intro === '' ? rest : { ...rest, intro } };
}

/** Phrases that no item speaks of are left out. */
function pruned(lesson: Lesson): Lesson {
  const used = new Set(lesson.items.flatMap(phrasesOfItem));
  const phrases = lesson.phrases.filter((p) => used.has(p.id));
  return phrases.length === lesson.phrases.length ? lesson : { ...lesson, phrases };
}
