import { migrationSequence } from './migrate';

/** Every version of phrases, from 1 on. A step brings a frozen file in tests/migrations. */
export const PHRASE_MIGRATIONS = migrationSequence('degreewise-phrase', [
  {
    to: 2,
    change: 'an event may say that its length was guessed',
  },
  {
    to: 3,
    change: 'a dead note may be a pick scrape',
  },
  {
    to: 4,
    change: 'a phrase may say what its parts were made of',
  },
  {
    to: 5,
    change: 'tuplets may have other ratios than 3:2, 5:4, 7:4 and 9:8',
  },
]);

/** Every version of lessons and song forms, from 1 on. A step brings a frozen file in tests/migrations. */
export const LESSON_MIGRATIONS = migrationSequence('degreewise-lesson', [
  {
    to: 2,
    change: 'a solo may have comping',
  },
]);
export const FORM_MIGRATIONS = migrationSequence('degreewise-form', []);

/** Every version of what brings order into a library, from 1 on; as above. */
export const COLLECTION_MIGRATIONS = migrationSequence('degreewise-collection', []);
export const SEARCH_MIGRATIONS = migrationSequence('degreewise-search', []);
export const USE_MIGRATIONS = migrationSequence('degreewise-use', []);
export const PAIR_MIGRATIONS = migrationSequence('degreewise-pair', []);

/** Every version of earlier versions of phrases in a file; as above. */
export const KEPT_MIGRATIONS = migrationSequence('degreewise-version', []);

/** Every version of earlier versions of anything else; as above. */
export const EARLIER_MIGRATIONS = migrationSequence('degreewise-earlier', []);

/** Every version of how phrases were played; as above. */
export const PLAYED_MIGRATIONS = migrationSequence('degreewise-played', []);

/** Every version of plans for practice and of turns, from 1 on; as above. */
export const PLAN_MIGRATIONS = migrationSequence('degreewise-plan', []);
export const TURN_MIGRATIONS = migrationSequence('degreewise-turn', []);
