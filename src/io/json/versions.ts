import { migrationSequence } from './migrate';

/** Every version of phrases, from 1 on. A step brings a frozen file in tests/migrations. */
export const PHRASE_MIGRATIONS = migrationSequence('degreewise-phrase', [
  {
    to: 2,
    change: 'an event may say that its length was guessed',
    migrate: (document) => document,
  },
  {
    to: 3,
    change: 'a dead note may be a pick scrape',
    migrate: (document) => document,
  },
]);

/** Every version of lessons and song forms, from 1 on. A step brings a frozen file in tests/migrations. */
export const LESSON_MIGRATIONS = migrationSequence('degreewise-lesson', []);
export const FORM_MIGRATIONS = migrationSequence('degreewise-form', []);
