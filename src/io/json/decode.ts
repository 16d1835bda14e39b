import type { Phrase } from '../../core/phrase/types';
import { fail, type Result } from '../../core/result';
import { checkPhrase } from '../../core/validity/check-phrase';
import { readDocument, wrongFormat } from './document';
import { LIMITS } from './limits';
import { checkVersion, migrate } from './migrate';
import { checkSize } from './size';
import { readStructure } from './structure';
import { PHRASE_MIGRATIONS } from './versions';

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
