import * as z from 'zod/mini';
import type { Library, Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { checkPhrase } from '../../core/validity/check-phrase';
import { explainIssues } from './explain';
import { LIMITS } from './limits';
import { checkVersion, migrate, migrationSequence, type RawDocument } from './migrate';
import { libraryShell } from './schema';
import { checkSize } from './size';
import { readStructure } from './structure';
import { explainSyntax, isNestedDeeper } from './syntax';

/** Every version of the two formats, from 1 on. A step brings a frozen file in tests/migrations. */
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
export const LIBRARY_MIGRATIONS = migrationSequence('degreewise-library', []);

/** What a JSON file of ours turned out to be. */
export type Decoded =
  | { readonly kind: 'phrase'; readonly phrase: Phrase }
  | { readonly kind: 'library'; readonly library: Library };

/**
 * A phrase from JSON text, or from a value already parsed: migrated to the newest version, its
 * structure and its sense checked. Never throws; time and memory are bounded (`LIMITS`).
 */
export function decodePhrase(input: unknown): Result<Phrase> {
  const document = readDocument(input, LIMITS.phraseText);
  if (!document.ok) return document;
  return readPhrase(document.value);
}

/** A library from JSON text or a parsed value; the problems of a phrase point into the library. */
export function decodeLibrary(input: unknown): Result<Library> {
  const document = readDocument(input, LIMITS.libraryText);
  if (!document.ok) return document;
  return readLibrary(document.value);
}

/** A phrase or a library, as the field `format` says. */
export function decodeAny(input: unknown): Result<Decoded> {
  const document = readDocument(input, LIMITS.libraryText);
  if (!document.ok) return document;
  if (formatOf(document.value) === 'degreewise-library') {
    const library = readLibrary(document.value);
    return library.ok ? ok({ kind: 'library', library: library.value }) : library;
  }
  if (typeof input === 'string' && input.length > LIMITS.phraseText) {
    return fail(tooLong(input.length, LIMITS.phraseText));
  }
  const phrase = readPhrase(document.value);
  return phrase.ok ? ok({ kind: 'phrase', phrase: phrase.value }) : phrase;
}

export function readDocument(input: unknown, most: number): Result<RawDocument> {
  const parsed = typeof input === 'string' ? parse(input, most) : ok(input);
  return parsed.ok ? asDocument(parsed.value) : parsed;
}

export function asDocument(value: unknown): Result<RawDocument> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return fail({
      message: 'there is no phrase and no library here',
      fix: 'Open a file that this program has written.',
      pointer: '',
    });
  }
  // An object that is no list has named fields; what they hold is still unknown.
  return ok(value as RawDocument);
}

function parse(text: string, most: number): Result<unknown> {
  if (text.length > most) return fail(tooLong(text.length, most));
  // A byte order mark is no JSON, but some editors write one.
  const plain = text.startsWith('\ufeff') ? text.slice(1) : text;
  if (isNestedDeeper(plain, LIMITS.depth)) {
    return fail({
      message: `the text is nested more than ${LIMITS.depth} levels deep`,
      fix: 'Check whether it is what you meant to open.',
    });
  }
  try {
    return ok(JSON.parse(plain));
  } catch {
    return fail(explainSyntax(plain));
  }
}

function tooLong(length: number, most: number): Problem {
  return {
    message: `the text has ${length} characters, and at most ${most} are read`,
    fix: 'Split it into several files, or check whether it is what you meant to open.',
  };
}

function formatOf(document: RawDocument): unknown {
  return Object.hasOwn(document, 'format') ? document.format : undefined;
}

export function wrongFormat(document: RawDocument, format: string): Problem | null {
  const found = formatOf(document);
  if (found === format) return null;
  const ours = [PHRASE_MIGRATIONS.format, LIBRARY_MIGRATIONS.format];
  return {
    message: ours.some((f) => f === found)
      ? `this is a ${found} where a ${format} is expected`
      : `nothing says that this is a ${format}`,
    fix: `Its field 'format' must be '${format}'.`,
    pointer: '/format',
  };
}

export function readPhrase(document: RawDocument): Result<Phrase> {
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

/** So many broken phrases are read before a library is given up. */
const MOST_BROKEN = 20;

function readLibrary(document: RawDocument): Result<Library> {
  const wrong = wrongFormat(document, LIBRARY_MIGRATIONS.format);
  if (wrong !== null) return fail(wrong);
  const migrated = migrate(LIBRARY_MIGRATIONS, document);
  if (!migrated.ok) return migrated;
  const shell = z.safeParse(libraryShell, migrated.value);
  if (!shell.success) {
    return {
      ok: false,
      problems: explainIssues(
        document,
        shell.error.issues.map((issue) => ({ issue, base: [] })),
      ),
    };
  }
  const phrases: Phrase[] = [];
  const problems: Problem[] = [];
  const places = new Map<string, number>();
  let broken = 0;
  for (const [i, raw] of shell.data.phrases.entries()) {
    const phrase = asDocument(raw);
    const read = phrase.ok ? readPhrase(phrase.value) : phrase;
    if (!read.ok) {
      problems.push(
        ...read.problems.map((x) => ({ ...x, pointer: `/phrases/${i}${x.pointer ?? ''}` })),
      );
      if (++broken >= MOST_BROKEN) break;
      continue;
    }
    const first = places.get(read.value.id);
    if (first !== undefined) {
      problems.push({
        message: `the phrase has the same id as phrase ${first + 1}`,
        fix: 'Give one of them another id, or remove it.',
        pointer: `/phrases/${i}/id`,
      });
    }
    places.set(read.value.id, i);
    phrases.push(read.value);
  }
  if (problems.length > 0) return { ok: false, problems };
  return ok({ format: 'degreewise-library', version: 1, phrases });
}
