import type { Phrase } from '../core/phrase/types';
import { ok, type Problem, type Result } from '../core/result';
import { decodePhrase } from '../io/json';
import { PHRASE_MIGRATIONS } from '../io/json/decode';
import { type RawDocument, versionOf } from '../io/json/migrate';
import type { Revision, StoredPhrase, StoreProblem } from './types';

/**
 * What the database holds for one phrase. The phrase is kept as text: a record that this program
 * cannot read can still be handed to the user as it is.
 */
export interface PhraseRecord {
  readonly id: string;
  readonly revision: Revision;
  /** JSON of the phrase, fields in the order of the schema, without spaces. */
  readonly text: string;
  /** Laid in at the first start and never saved since. */
  readonly sample?: true;
  /** Milliseconds since 1970 at which the user removed it; the text stays for `restore`. */
  readonly removed?: number;
}

/** A record as the database gives it, or why it does not. */
export type RawRecord =
  | { readonly key: string; readonly value: unknown }
  | { readonly key: string; readonly unreadable: string };

export type ReadRecord =
  | { readonly kind: 'phrase'; readonly stored: StoredPhrase }
  | { readonly kind: 'removed'; readonly revision: Revision; readonly removed: number }
  | { readonly kind: 'problem'; readonly problem: StoreProblem };

/**
 * The text to store. Everything is checked that is checked on reading, so that what is written can
 * be opened again. The phrase itself is kept as the object it is.
 */
export function textOf(phrase: Phrase): Result<string> {
  const checked = decodePhrase(phrase);
  return checked.ok ? ok(JSON.stringify(checked.value)) : checked;
}

/** Judges one record; whatever is wrong with it becomes a problem, never an exception. */
export function readRecord(raw: RawRecord): ReadRecord {
  if ('unreadable' in raw) {
    return problem('unreadable', raw.key, null, [
      {
        message: `the browser cannot read this record (${raw.unreadable})`,
        fix: 'Close other windows and open the program again; if it stays, discard the record.',
      },
    ]);
  }
  const record = raw.value;
  if (!isRecord(record, raw.key)) {
    return problem('damaged', raw.key, rawText(record), [
      {
        message: 'the record has lost its form',
        fix: 'Export it as text, then discard it.',
      },
    ]);
  }
  if (record.removed !== undefined) {
    return { kind: 'removed', revision: record.revision, removed: record.removed };
  }
  const read = decodePhrase(record.text);
  if (!read.ok) {
    return problem(
      hasLaterVersion(record.text) ? 'too new' : 'damaged',
      raw.key,
      record.text,
      read.problems,
    );
  }
  if (read.value.id !== raw.key) {
    return problem('damaged', raw.key, record.text, [
      {
        message: `the phrase has the id ${read.value.id}, and its record the id ${raw.key}`,
        fix: 'Export it as text, discard it, and open the text again.',
        pointer: '/id',
      },
    ]);
  }
  return {
    kind: 'phrase',
    stored: {
      phrase: read.value,
      revision: record.revision,
      sample: record.sample === true,
    },
  };
}

/** Whether a value from the database has the form of a record under this key. */
export function isRecord(value: unknown, key: string): value is PhraseRecord {
  if (typeof value !== 'object' || value === null) return false;
  // An object; what its fields hold is checked one by one.
  const r = value as { readonly [K in keyof PhraseRecord]?: unknown };
  return (
    r.id === key &&
    isRevision(r.revision) &&
    typeof r.text === 'string' &&
    (r.sample === undefined || r.sample === true) &&
    (r.removed === undefined || (typeof r.removed === 'number' && Number.isFinite(r.removed)))
  );
}

export function isRevision(value: unknown): value is Revision {
  return Number.isSafeInteger(value) && Number(value) > 0;
}

function problem(
  kind: StoreProblem['kind'],
  key: string,
  raw: string | null,
  problems: readonly Problem[],
): ReadRecord {
  return { kind: 'problem', problem: { kind, key, title: titleIn(raw), problems, raw } };
}

/** The text of a record whatever its form: the text field as it is, else all that is there. */
function rawText(value: unknown): string | null {
  if (typeof value === 'object' && value !== null && 'text' in value) {
    if (typeof value.text === 'string') return value.text;
  }
  try {
    return JSON.stringify(value) ?? String(value);
  } catch {
    // A database also holds what JSON cannot say, such as a list that contains itself.
    return null;
  }
}

/** A title made out in damaged text, which need not be JSON any more. */
function titleIn(raw: string | null): string | null {
  const found = raw === null ? null : /"title"\s*:\s*("(?:[^"\\]|\\.){1,200}")/.exec(raw);
  const quoted = found?.[1];
  if (quoted === undefined) return null;
  try {
    return String(JSON.parse(quoted));
  } catch {
    return null;
  }
}

/** Whether a later version of the program wrote the text: nothing else said about it need be true. */
function hasLaterVersion(text: string): boolean {
  try {
    const document: unknown = JSON.parse(text);
    // An object; the version is looked at without trusting the rest.
    const named = Object(document) as RawDocument;
    return versionOf(PHRASE_MIGRATIONS, named).kind === 'too new';
  } catch {
    return false;
  }
}
