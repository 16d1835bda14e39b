import type { OwnForm } from '../../core/form/types';
import type { Lesson } from '../../core/lesson/types';
import type { Collection } from '../../core/library/collection';
import type { SavedSearch } from '../../core/library/saved-search';
import type { Use } from '../../core/library/use';
import type { Phrase } from '../../core/phrase/types';
import {
  COLLECTION_MIGRATIONS,
  FORM_MIGRATIONS,
  LESSON_MIGRATIONS,
  PHRASE_MIGRATIONS,
  SEARCH_MIGRATIONS,
  USE_MIGRATIONS,
} from '../json/versions';
import type { AnyKind, Identity, Kind } from './kind';
import { fetchChecks, lateChecks } from './late-checks';

/** Improvisation phrases. */
export const PHRASES: Kind<Phrase> = {
  name: 'phrase',
  noun: 'phrase',
  versions: PHRASE_MIGRATIONS,
  decode: (input) => lateChecks().decodePhrase(input),
  ready: fetchChecks,
  onDemand: true,
  identityOf: ({ id, parent, meta: { title, created, modified } }) => {
    return { id, parent, title, created, modified };
  },
  withIdentity: (phrase, { id, parent, title, created, modified }) => {
    return { ...phrase, id, parent, meta: { ...phrase.meta, title, created, modified } };
  },
};

/** What all but phrases are called and when they were made stands in their `meta`. */
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

/** Phrases put together for something, by their ids. */
export const COLLECTIONS: Kind<Collection> = {
  name: 'collection',
  noun: 'collection',
  versions: COLLECTION_MIGRATIONS,
  decode: (input) => lateChecks().decodeCollection(input),
  ready: fetchChecks,
  identityOf,
  withIdentity,
  withReferences: (c, to) => ({ ...c, phrases: c.phrases.map((id) => to('phrase', id)) }),
};

/** Searches kept under a name. */
export const SEARCHES: Kind<SavedSearch> = {
  name: 'search',
  noun: 'saved question',
  versions: SEARCH_MIGRATIONS,
  decode: (input) => lateChecks().decodeSearch(input),
  ready: fetchChecks,
  identityOf,
  withIdentity,
  withReferences: (s, to) => {
    const { like } = s.asked;
    return like === undefined ? s : { ...s, asked: { ...s.asked, like: to('phrase', like) } };
  },
};

/** Days on which phrases were used. */
export const USES: Kind<Use> = {
  name: 'use',
  noun: 'use',
  versions: USE_MIGRATIONS,
  decode: (input) => lateChecks().decodeUse(input),
  ready: fetchChecks,
  identityOf,
  withIdentity,
  withReferences: (u, to) => ({ ...u, phrases: u.phrases.map((id) => to('phrase', id)) }),
};

/**
 * Everything that a library can hold. A new kind is a row here: it is then kept, copied, migrated,
 * written to library files and read from them like all others. What is named by another kind stands
 * before it, so that it comes in first. See README.md.
 */
export const KINDS: readonly AnyKind[] = [PHRASES, LESSONS, FORMS, COLLECTIONS, SEARCHES, USES];
