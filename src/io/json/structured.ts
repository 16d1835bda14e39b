import * as z from 'zod/mini';
import { fail, ok, type Result } from '../../core/result';
import { readDocument, wrongFormat } from './document';
import { explainIssues } from './explain';
import { LIMITS } from './limits';
import { checkVersion, type MigrationSequence, migrate } from './migrate';
import { checkSize } from './size';

/**
 * A small document from JSON text or a parsed value: migrated to the newest version, its structure
 * checked. Never throws; time and memory are bounded (`LIMITS`).
 */
export function structured<S extends z.core.$ZodType>(
  input: unknown,
  versions: MigrationSequence,
  schema: S,
): Result<z.core.output<S>> {
  const document = readDocument(input, LIMITS.phraseText);
  if (!document.ok) return document;
  const wrong =
    wrongFormat(document.value, versions.format) ??
    checkVersion(versions, document.value) ??
    checkSize(document.value);
  if (wrong !== null) return fail(wrong);
  const newest = migrate(versions, document.value);
  if (!newest.ok) return newest;
  const read = z.safeParse(schema, newest.value);
  if (read.success) return ok(read.data);
  const issues = read.error.issues.map((issue) => ({ issue, base: [] }));
  return { ok: false, problems: explainIssues(newest.value, issues) };
}
