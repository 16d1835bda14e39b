import type { Form } from '../form/types';
import type { Phrase } from '../phrase/types';
import type { PitchClass } from '../theory/pitch';
import { addItem, freeItemId } from './edit';
import type { Lesson, SoloPlace } from './types';
import { showsForm } from './with-forms';

/** A solo as a lesson takes it. */
export interface SoloGiven {
  readonly form: Form;
  readonly tonic: PitchClass;
  readonly phrase: Phrase;
  readonly parts: readonly SoloPlace[];
  /** What accompanies it, over the same bars; null for nothing. */
  readonly comping: Phrase | null;
}

/** The lesson with a form and the solo over it at its end; the form once, where it is there already. */
export function withSolo(lesson: Lesson, given: SoloGiven): Lesson {
  const { form, tonic, phrase, parts, comping } = given;
  const led = showsForm(lesson, form, tonic)
    ? lesson
    : addItem(lesson, { kind: 'form', id: freeItemId(lesson), form, tonic });
  const solo = {
    ...{ kind: 'solo' as const, id: freeItemId(led), phrase: phrase.id, parts },
    ...(comping === null ? {} : { comping: { phrase: comping.id, printed: true } }),
  };
  return addItem(led, solo, led.items.length, phrase, comping);
}
