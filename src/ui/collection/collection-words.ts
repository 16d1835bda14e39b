import type { Collection, Purpose } from '../../core/library/collection';
import { foldText } from '../../core/library/fold';
import { addressOf } from '../frame/route';

/** What collections are for, in words. */
export const PURPOSE_WORDS: Readonly<Record<Purpose, string>> = {
  any: 'anything',
  lesson: 'a week’s lesson',
  student: 'a student',
  form: 'a song form',
};

/** What a collection is called where it is shown. */
export function collectionTitle({ meta }: Collection): string {
  return meta.title.trim() === '' ? 'Untitled' : meta.title;
}

/** Address of its page. */
export function addressOfCollection({ id }: Collection): string {
  return addressOf({ page: 'collection', id, query: {} });
}

/** The library, narrowed to a collection by its title; null where it has none to ask by. */
export function addressInLibrary({ meta }: Collection): string | null {
  const text = foldText(meta.title).replaceAll(/["\\]/gu, '\\$&');
  return text === '' ? null : addressOf({ page: 'library', query: { find: `in:"${text}"` } });
}
