import { FORMS_JOINED } from './joined';
import type { OwnForm } from './types';

/** Forms that are called and played the same under one id, once: a form may lie in several files. */
export function formsOnce(forms: readonly OwnForm[]): readonly OwnForm[] {
  const byKey = new Map<string, OwnForm>();
  for (const f of forms) {
    const key = `${f.id} ${FORMS_JOINED.key(f)}`;
    const same = byKey.get(key);
    byKey.set(key, same === undefined ? f : FORMS_JOINED.join(same, f));
  }
  return [...byKey.values()];
}

/**
 * The forms that a name means: that of this id; else those of this title; else those whose title is the
 * same but for capitals and the spaces around it.
 */
export function formsNamed(forms: readonly OwnForm[], name: string): readonly OwnForm[] {
  const once = formsOnce(forms);
  const plain = (text: string) => text.trim().toLowerCase();
  const ways: readonly ((f: OwnForm) => boolean)[] = [
    (f) => f.id === name,
    (f) => f.meta.title === name,
    (f) => plain(f.meta.title) === plain(name),
  ];
  for (const way of ways) {
    const found = once.filter(way);
    if (found.length > 0) return found;
  }
  return [];
}
