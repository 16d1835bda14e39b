import { FORMS_JOINED } from '../form/joined';
import { ownOfForm } from '../form/own';
import { standardForm } from '../form/standard';
import type { OwnForm } from '../form/types';
import type { Lesson } from './types';

/**
 * The forms of somebody's own that a lesson shows, each once. A lesson does not say when they were made or
 * changed: it is taken for the time at which the lesson was begun, so that none is newer than one that was
 * changed since it went into the lesson.
 */
export function ownFormsIn({ items, meta }: Lesson): readonly OwnForm[] {
  const forms = items.flatMap((i) =>
    i.kind === 'form' && standardForm(i.form.id) === undefined
      ? [ownOfForm(i.form, meta.created)]
      : [],
  );
  return [...new Map(forms.map((f) => [`${f.id} ${FORMS_JOINED.key(f)}`, f])).values()];
}
