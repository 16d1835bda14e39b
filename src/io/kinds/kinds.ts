import type { OwnForm } from '../../core/form/types';
import type { Lesson } from '../../core/lesson/types';
import type { Phrase } from '../../core/phrase/types';
import { FORM_MIGRATIONS, LESSON_MIGRATIONS, PHRASE_MIGRATIONS } from '../json/versions';
import type { AnyKind, Identity, Kind } from './kind';
import { fetchChecks, lateChecks } from './late-checks';

/** Improvisation phrases. */
export const PHRASES: Kind<Phrase> = {
  name: 'phrase',
  noun: 'phrase',
  versions: PHRASE_MIGRATIONS,
  decode: (input) => lateChecks().decodePhrase(input),
  ready: fetchChecks,
  identityOf: ({ id, parent, meta: { title, created, modified } }) => {
    return { id, parent, title, created, modified };
  },
  withIdentity: (phrase, { id, parent, title, created, modified }) => {
    return { ...phrase, id, parent, meta: { ...phrase.meta, title, created, modified } };
  },
};

/** What lessons and song forms are called and when they were made stands in their `meta`. */
interface WithMeta {
  readonly id: string;
  readonly parent: string | null;
  readonly meta: { readonly title: string; readonly created: string; readonly modified: string };
}

const identityOf = ({ id, parent, meta: { title, created, modified } }: WithMeta): Identity => {
  return { id, parent, title, created, modified };
};

const withIdentity = <T extends WithMeta>(value: T, identity: Identity): T => {
  const { id, parent, title, created, modified } = identity;
  return { ...value, id, parent, meta: { ...value.meta, title, created, modified } };
};

/** Lessons, with the phrases they speak of inside. */
export const LESSONS: Kind<Lesson> = {
  name: 'lesson',
  noun: 'lesson',
  versions: LESSON_MIGRATIONS,
  decode: (input) => lateChecks().decodeLesson(input),
  ready: fetchChecks,
  identityOf,
  withIdentity,
};

/** Song forms of the user's own. */
export const FORMS: Kind<OwnForm> = {
  name: 'form',
  noun: 'song form',
  versions: FORM_MIGRATIONS,
  decode: (input) => lateChecks().decodeForm(input),
  ready: fetchChecks,
  identityOf,
  withIdentity,
};

/**
 * Everything that a library can hold. A new kind is a row here: it is then kept, copied, migrated,
 * written to library files and read from them like all others. What is named by another kind stands
 * before it, so that it comes in first. See README.md.
 */
export const KINDS: readonly AnyKind[] = [PHRASES, LESSONS, FORMS];
