import type { Problem } from '../core/result';
import { type RawDocument, versionOf } from '../io/json/migrate';
import type { AnyKind } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import { withValue } from './at-hand';
import { sealOf, valueIn } from './seal';
import type { Revision, Stored, StoreProblem } from './types';

/**
 * What the database holds for one thing. The thing is kept as text: a record that this program
 * cannot read can still be handed to the user as it is.
 */
export interface StoredRecord {
  /** Its key in the database: `keyOf` its kind and id. */
  readonly id: string;
  readonly revision: Revision;
  /** JSON of the thing, fields in the order of the schema, without spaces. */
  readonly text: string;
  /** `sealOf` its kind, key and text, where this program had checked it. */
  readonly sum?: number;
  /** Laid in at the first start and never saved since. */
  readonly sample?: true;
  /** Milliseconds since 1970 at which the user removed it; the text stays for `restore`. */
  readonly removed?: number;
}

/** A record as the database gives it, or why it does not. */
export type RawRecord =
  | { readonly key: string; readonly value: unknown }
  | { readonly key: string; readonly unreadable: string };

/** Something that was read, with what it is. */
export interface Item {
  readonly key: string;
  readonly kind: AnyKind;
  readonly stored: Stored<unknown>;
  /** Whether the record says that it was checked, so that the next opening need not. */
  readonly sealed: boolean;
}

export type ReadRecord =
  | { readonly kind: 'item'; readonly item: Item }
  | {
      readonly kind: 'removed';
      readonly revision: Revision;
      readonly removed: number;
      /** What it was, where that is known without reading it. */
      readonly item: Item | null;
    }
  | { readonly kind: 'problem'; readonly problem: StoreProblem };

/**
 * The key of a record. A phrase has its id for a key, as it always had; other kinds have their name
 * before it. No id holds a space, so keys of two kinds never meet.
 */
export function keyOf(kind: AnyKind, id: string): string {
  return kind === PHRASES ? id : `${kind.name} ${id}`;
}

/** Name of the kind and id that a key stands for. */
export function partsOf(key: string): { readonly name: string; readonly id: string } {
  const at = key.indexOf(' ');
  return at < 0
    ? { name: PHRASES.name, id: key }
    : { name: key.slice(0, at), id: key.slice(at + 1) };
}

/** Judges one record; whatever is wrong with it becomes a problem, never an exception. */
export function readRecord(raw: RawRecord, kinds: readonly AnyKind[]): ReadRecord {
  const { key } = raw;
  if ('unreadable' in raw) return problem('unreadable', key, null, [unreadable(raw.unreadable)]);
  const record = raw.value;
  if (!isRecord(record, key)) return problem('damaged', key, rawText(record), [NO_FORM]);
  if (record.removed !== undefined) {
    return { kind: 'removed', revision: record.revision, removed: record.removed, item: null };
  }
  const { name, id } = partsOf(key);
  const kind = kinds.find((k) => k.name === name);
  if (kind === undefined) return problem('too new', key, record.text, [unknownKind(name)]);
  const { revision, text } = record;
  const about = { sum: sealOf(kind, key, text), revision, sample: record.sample === true };
  if (record.sum === about.sum) {
    const stored = withValue(kind, valueIn(kind, text), about);
    return { kind: 'item', item: { key, kind, stored, sealed: true } };
  }
  const read = kind.decode(text);
  if (!read.ok) {
    const later = hasLaterVersion(kind, record.text);
    return problem(later ? 'too new' : 'damaged', key, record.text, read.problems);
  }
  const found = kind.identityOf(read.value).id;
  if (found !== id) return problem('damaged', key, record.text, [otherId(name, found, id)]);
  const stored = withValue(kind, read.value, about);
  return { kind: 'item', item: { key, kind, stored, sealed: false } };
}

/** Whether a value from the database has the form of a record under this key. */
export function isRecord(value: unknown, key: string): value is StoredRecord {
  if (typeof value !== 'object' || value === null) return false;
  // An object; what its fields hold is checked one by one.
  const r = value as { readonly [K in keyof StoredRecord]?: unknown };
  return (
    r.id === key &&
    isRevision(r.revision) &&
    typeof r.text === 'string' &&
    (r.sum === undefined || typeof r.sum === 'number') &&
    (r.sample === undefined || r.sample === true) &&
    (r.removed === undefined || (typeof r.removed === 'number' && Number.isFinite(r.removed)))
  );
}

/** A whole number from 1. */
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

const NO_FORM: Problem = {
  message: 'the record has lost its form',
  fix: 'Export it as text, then discard it.',
};

function unreadable(why: string): Problem {
  return {
    message: `the browser cannot read this record (${why})`,
    fix: 'Close other windows and open the program again; if it stays, discard the record.',
  };
}

function unknownKind(name: string): Problem {
  return {
    message: `this program does not know what a ${name} is`,
    fix: 'Open the library with a newer release of the program.',
  };
}

function otherId(name: string, found: string, id: string): Problem {
  return {
    message: `the ${name} has the id ${found}, and its record the id ${id}`,
    fix: 'Export it as text, discard it, and open the text again.',
    pointer: '/id',
  };
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
function hasLaterVersion(kind: AnyKind, text: string): boolean {
  try {
    const document: unknown = JSON.parse(text);
    // An object; the version is looked at without trusting the rest.
    const named = Object(document) as RawDocument;
    return versionOf(kind.versions, named).kind === 'too new';
  } catch {
    return false;
  }
}
