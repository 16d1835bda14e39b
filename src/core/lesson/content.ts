import { formOfOwn, type OwnForm } from '../form/types';
import { headOf, type RecordBirth } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import type { PitchClass } from '../theory/pitch';
import { itemOf } from './edit';
import { LESSON_VERSION, type Lesson, type LessonItem } from './types';

const C: PitchClass = { letter: 'C', alter: 0 };

/**
 * Phrases and forms as a lesson: each an item, in the order given, and of two of one id the last one.
 * @param birth With the tonic of the forms; null: that of the first phrase, or C where there is none.
 */
export function lessonOfContent(
  content: readonly (Phrase | OwnForm)[],
  { tonic, ...birth }: RecordBirth & { readonly tonic: PitchClass | null },
): Lesson {
  const each = [...new Map(content.map((x) => [`${x.format} ${x.id}`, x])).values()];
  const phrases = each.filter(isPhrase);
  const of = tonic ?? phrases[0]?.key.tonic ?? C;
  const items = each.map((x, i): LessonItem => {
    const id = `i${i + 1}`;
    if (isPhrase(x)) return itemOf(x, id);
    return { kind: 'form', id, form: formOfOwn(x), tonic: of };
  });
  return { ...headOf('degreewise-lesson', LESSON_VERSION, birth), phrases, items };
}

function isPhrase(x: Phrase | OwnForm): x is Phrase {
  return x.format !== 'degreewise-form';
}
