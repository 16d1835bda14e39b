import type { Form } from '../form/types';
import { formUnder, whyNoForm } from '../form/under';
import { shownTitle } from '../phrase/record';
import type { PitchClass } from '../theory/pitch';
import { addItem, freeItemId } from './edit';
import { phraseOf } from './sheets';
import { type Lesson, type LessonItem, MOST_ITEMS } from './types';

/**
 * The lesson with the form of each solo before it, once for all that go over the same in the same key: a solo that was
 * kept in a library does not say its form, but its chords do.
 * @param own The forms of somebody's own in the library.
 * @param since The lesson as it was: what that showed keeps the company it has.
 */
export function withForms(lesson: Lesson, own: readonly Form[], since?: Lesson): Lesson {
  const there = new Set(since?.items.map((i) => i.id));
  let led = lesson;
  for (const item of lesson.items) {
    if (item.kind !== 'solo' || there.has(item.id) || led.items.length >= MOST_ITEMS) continue;
    const p = phraseOf(lesson, item);
    const form = formUnder(p, own);
    const { tonic } = p.key;
    if (form === null || showsForm(led, form, tonic)) continue;
    const shown: LessonItem = { kind: 'form', id: freeItemId(led), form, tonic };
    led = addItem(led, shown, led.items.indexOf(item));
  }
  return led;
}

/** Solos of the lesson that brought no form, each with why, in sentences without full stops. */
export function formsMissing(
  { items, phrases }: Pick<Lesson, 'items' | 'phrases'>,
  own: readonly Form[],
  since?: Lesson,
): readonly string[] {
  const there = new Set(since?.items.map((i) => i.id));
  return items.flatMap((item) => {
    if (item.kind !== 'solo' || there.has(item.id)) return [];
    const p = phraseOf({ phrases }, item);
    if (formUnder(p, own) !== null) return [];
    return [`“${shownTitle(p.meta)}” brings no form: ${whyNoForm(p)}`];
  });
}

/** Whether the lesson has the form in this key already. */
export function showsForm({ items }: Lesson, form: Form, tonic: PitchClass): boolean {
  const asked = JSON.stringify([form.sections, tonic]);
  return items.some(
    (i) => i.kind === 'form' && JSON.stringify([i.form.sections, i.tonic]) === asked,
  );
}
