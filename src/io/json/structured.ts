import * as z from 'zod/mini';
import { fail, ok, type Result } from '../../core/result';
import { readDocument, wrongFormat } from './document';
import { explainIssues } from './explain';
import { LIMITS } from './limits';
import { checkVersion, type MigrationSequence, migrate, type RawDocument } from './migrate';
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
  return newest.ok ? shaped(schema, newest.value) : newest;
}

/** A document of the newest version in the shape of a schema; else what is wrong, with the path of the field. */
export function shaped<S extends z.core.$ZodType>(
  schema: S,
  document: RawDocument,
): Result<z.core.output<S>> {
  const read = z.safeParse(schema, document);
  if (read.success) return ok(read.data);
  const issues = read.error.issues.map((issue) => ({ issue, base: [] }));
  return { ok: false, problems: explainIssues(document, issues) };
}
