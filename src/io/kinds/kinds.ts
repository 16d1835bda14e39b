import { FORMS_JOINED } from '../../core/form/joined';
import type { OwnForm } from '../../core/form/types';
import type { Lesson } from '../../core/lesson/types';
import { COLLECTIONS_JOINED, type Collection } from '../../core/library/collection';
import { PAIRS_JOINED, type Pair } from '../../core/library/pair';
import type { SavedSearch } from '../../core/library/saved-search';
import type { Use } from '../../core/library/use';
import type { Phrase } from '../../core/phrase/types';
import type { Plan, Turn } from '../../core/plan/types';
import type { MigrationSequence } from '../json/migrate';
import {
  COLLECTION_MIGRATIONS,
  FORM_MIGRATIONS,
  LESSON_MIGRATIONS,
  PAIR_MIGRATIONS,
  PHRASE_MIGRATIONS,
  PLAN_MIGRATIONS,
  SEARCH_MIGRATIONS,
  TURN_MIGRATIONS,
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
  keepsPast: true,
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

/** A row of a kind with a `meta`, whose checks come late. */
const row = <T extends WithMeta>(
  name: string,
  noun: string,
  versions: MigrationSequence,
  decode: Kind<T>['decode'],
  withReferences?: NonNullable<Kind<T>['withReferences']>,
): Kind<T> => {
  const kind = { name, noun, versions, decode, ready: fetchChecks, identityOf, withIdentity };
  return withReferences === undefined ? kind : { ...kind, withReferences };
};

/** The same with other phrases in place of those it names. */
const withPhrasesNamed = <T extends { readonly phrases: readonly string[] }>(
  value: T,
  to: (kind: string, id: string) => string,
): T => ({ ...value, phrases: value.phrases.map((id) => to('phrase', id)) });

/** Lessons, with the phrases they speak of inside. */
export const LESSONS: Kind<Lesson> = {
  ...row<Lesson>('lesson', 'lesson', LESSON_MIGRATIONS, (input) =>
    lateChecks().decodeLesson(input),
  ),
  keepsPast: true,
};

/** Song forms of the user's own. */
export const FORMS: Kind<OwnForm> = {
  ...row<OwnForm>('form', 'song form', FORM_MIGRATIONS, (input) => lateChecks().decodeForm(input)),
  keepsPast: true,
  joining: FORMS_JOINED,
};

/** Phrases put together for something, by their ids. */
export const COLLECTIONS: Kind<Collection> = {
  ...row<Collection>(
    'collection',
    'collection',
    COLLECTION_MIGRATIONS,
    (input) => lateChecks().decodeCollection(input),
    withPhrasesNamed,
  ),
  keepsPast: true,
  joining: COLLECTIONS_JOINED,
};

/** Searches kept under a name. */
export const SEARCHES: Kind<SavedSearch> = row(
  'search',
  'saved question',
  SEARCH_MIGRATIONS,
  (input) => lateChecks().decodeSearch(input),
  (s, to) => {
    const { like } = s.asked;
    return like === undefined ? s : { ...s, asked: { ...s.asked, like: to('phrase', like) } };
  },
);

/** Days on which phrases were used. */
export const USES: Kind<Use> = row(
  'use',
  'use',
  USE_MIGRATIONS,
  (input) => lateChecks().decodeUse(input),
  withPhrasesNamed,
);

/** Phrases that are nearly the same and both wanted. */
export const PAIRS: Kind<Pair> = {
  ...row<Pair>(
    'pair',
    'kept pair',
    PAIR_MIGRATIONS,
    (input) => lateChecks().decodePair(input),
    ({ phrases: [a, b], ...pair }, to) => ({
      ...pair,
      phrases: [to('phrase', a), to('phrase', b)],
    }),
  ),
  joining: PAIRS_JOINED,
};

/** How lessons are practised. */
export const PLANS: Kind<Plan> = {
  ...row<Plan>(
    'plan',
    'practice plan',
    PLAN_MIGRATIONS,
    (input) => lateChecks().decodePlan(input),
    (p, to) => ({ ...p, lesson: to('lesson', p.lesson) }),
  ),
  keepsPast: true,
};

/** What was practised, one a record: the logs of all plans. */
export const TURNS: Kind<Turn> = {
  ...row<Turn>('turn', 'practice turn', TURN_MIGRATIONS, (input) => lateChecks().decodeTurn(input)),
  onDemand: true,
  groupOf: (t) => t.log,
};

/**
 * Everything that a library can hold. A new kind is a row here: it is then kept, copied, migrated,
 * written to library files and read from them like all others. What is named by another kind stands
 * before it, so that it comes in first. See README.md.
 */
export const KINDS: readonly AnyKind[] = [
  PHRASES,
  LESSONS,
  FORMS,
  COLLECTIONS,
  SEARCHES,
  USES,
  PAIRS,
  PLANS,
  TURNS,
];
