import * as z from 'zod/mini';
import type { Phrase } from '../../core/phrase/types';
import { ok, type Result } from '../../core/result';
import { explainIssues, type IssueAt, MOST_ISSUES } from './explain';
import type { RawDocument } from './migrate';
import { valueAt } from './pointer';
import { bar, chordChange, event, mark, part, phraseShell, tuplet } from './schema';

/**
 * The phrase in a document of the newest version, its structure checked. The long lists are read
 * entry by entry and given up after `MOST_ISSUES`: the schema library keeps every issue of one
 * reading and fails on some hundred thousand of them.
 */
export function readStructure(document: RawDocument): Result<Phrase> {
  const issues: IssueAt[] = [];
  const shell = z.safeParse(phraseShell, document);
  if (!shell.success) issues.push(...shell.error.issues.map((issue) => ({ issue, base: [] })));
  const list = <S extends z.core.$ZodType>(schema: S, ...path: readonly (string | number)[]) =>
    readEntries(schema, document, path, issues);
  const voice = (v: number) => ({
    events: list(event, 'voices', v, 'events'),
    tuplets: list(tuplet, 'voices', v, 'tuplets'),
  });
  const lists = {
    bars: list(bar, 'bars'),
    chords: list(chordChange, 'chords'),
    marks: list(mark, 'marks'),
  };
  const parts = list(part, 'parts');
  const first = voice(0);
  const second = voice(1);
  if (!shell.success || issues.length > 0) {
    return { ok: false, problems: explainIssues(document, issues) };
  }
  const { parts: given, ...rest } = shell.data;
  return ok({
    ...rest,
    ...lists,
    voices: shell.data.voices.length === 1 ? [first] : [first, second],
    ...(given === undefined ? {} : { parts }),
  });
}

function readEntries<S extends z.core.$ZodType>(
  schema: S,
  document: RawDocument,
  path: readonly (string | number)[],
  issues: IssueAt[],
): z.core.output<S>[] {
  const list = valueAt(document, path);
  const read: z.core.output<S>[] = [];
  if (!Array.isArray(list)) return read;
  for (let i = 0; i < list.length && issues.length <= MOST_ISSUES; i++) {
    const entry = z.safeParse(schema, list[i]);
    if (entry.success) read.push(entry.data);
    else issues.push(...entry.error.issues.map((issue) => ({ issue, base: [...path, i] })));
  }
  return read;
}
