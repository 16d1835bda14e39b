import type { Phrase } from '../../core/phrase/types';
import { fail, type Result } from '../../core/result';
import { checkPhrase } from '../../core/validity/check-phrase';
import { readDocument, wrongFormat } from './document';
import { LIMITS } from './limits';
import { checkVersion, migrate, migrationSequence } from './migrate';
import { checkSize } from './size';
import { readStructure } from './structure';

/** Every version of the format, from 1 on. A step brings a frozen file in tests/migrations. */
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

/**
 * A phrase from JSON text, or from a value already parsed: migrated to the newest version, its
 * structure and its sense checked. Never throws; time and memory are bounded (`LIMITS`).
 */
export function decodePhrase(input: unknown): Result<Phrase> {
  const read = readDocument(input, LIMITS.phraseText);
  if (!read.ok) return read;
  const document = read.value;
  const wrong =
    wrongFormat(document, PHRASE_MIGRATIONS.format) ??
    checkVersion(PHRASE_MIGRATIONS, document) ??
    checkSize(document);
  if (wrong !== null) return fail(wrong);
  const migrated = migrate(PHRASE_MIGRATIONS, document);
  if (!migrated.ok) return migrated;
  const phrase = readStructure(migrated.value);
  if (!phrase.ok) return phrase;
  const problems = checkPhrase(phrase.value);
  return problems.length === 0 ? phrase : { ok: false, problems };
}
