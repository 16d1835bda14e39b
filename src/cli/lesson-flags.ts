import { ok, type Result } from '../core/result';
import type { Key } from '../core/theory/key';
import { PAPER_SIZES, type PaperSheet, type PaperSize, SHEETS } from '../publish/lesson/sizes';
import { readChoice, readKey } from './flag-values';
import type { Flag, Flags } from './flags';
import { readNameOf } from './output-name';

/** What `lesson` is asked for. */
export interface LessonCommand {
  readonly files: readonly string[];
  /** Null: the title of the first item. */
  readonly title: string | null;
  /** Of forms; null: that of the first phrase. */
  readonly key: Key | null;
  readonly out: string;
  readonly force: boolean;
  /** How it is set on paper; null: large, on what the printer has. */
  readonly size: PaperSize | null;
  readonly sheet: PaperSheet | null;
}

export const LESSON: readonly Flag[] = [
  { name: 'title', takes: 'value' },
  { name: 'key', takes: 'value' },
  { name: 'size', takes: 'value' },
  { name: 'paper', takes: 'value' },
  { name: 'out', short: 'o', takes: 'value' },
  { name: 'force', takes: 'nothing' },
];

/** Reads the options of `lesson`. */
export function readLesson(files: readonly string[], flags: Flags): Result<LessonCommand> {
  const to = readNameOf('lesson', flags);
  if (!to.ok) return to;
  const key = readKey(flags);
  if (!key.ok) return key;
  const size = readChoice(flags, 'size', Object.keys(PAPER_SIZES) as PaperSize[]);
  if (!size.ok) return size;
  const sheet = readChoice(flags, 'paper', SHEETS);
  if (!sheet.ok) return sheet;
  const look = { size: size.value ?? null, sheet: sheet.value ?? null };
  const title = flags.values.get('title') ?? null;
  return ok({ files, title, key: key.value, ...look, ...to.value });
}
