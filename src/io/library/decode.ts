import * as z from 'zod/mini';
import type { Library, Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { isCarried, readCarried } from '../folder/format';
import { decodePhrase } from '../json/decode';
import { asDocument, formatOf, readDocument, tooLong, wrongFormat } from '../json/document';
import { explainIssues } from '../json/explain';
import { LIMITS } from '../json/limits';
import { migrate, migrationSequence, type RawDocument } from '../json/migrate';
import { libraryShell } from '../json/schema';
import { FILE_KINDS } from '../kinds/file-kinds';
import type { AnyKind, Thing } from '../kinds/kind';
import { PHRASES } from '../kinds/kinds';
import '../kinds/checks-at-hand';
import { Entries } from './entries';

/** Every version of the format, from 1 on. A step brings a frozen file in tests/migrations. */
export const LIBRARY_MIGRATIONS = migrationSequence('degreewise-library', [
  {
    to: 2,
    change: 'things that are no phrases stand in a list of their own',
    migrate: (document) => document,
  },
]);

/** What a JSON file of ours turned out to be. */
export type Decoded =
  | { readonly kind: 'phrase'; readonly phrase: Phrase }
  | { readonly kind: 'library'; readonly library: Library }
  /** One thing that is no phrase, alone. */
  | {
      readonly kind: 'other';
      readonly thing: Thing;
      /** It is part of a library that a folder carries, where what it shows stands beside it. */
      readonly carried?: true;
    };

/**
 * A library from JSON text or a parsed value; the problems of an entry point into the library.
 * @param kinds What a library can hold.
 */
export function decodeLibrary(
  input: unknown,
  kinds: readonly AnyKind[] = FILE_KINDS,
): Result<Library> {
  const document = readDocument(input, LIMITS.libraryText);
  return document.ok ? readLibrary(document.value, kinds) : document;
}

/** A library, a phrase or anything else that a library can hold, as the field `format` says. */
export function decodeAny(input: unknown, kinds: readonly AnyKind[] = FILE_KINDS): Result<Decoded> {
  const read = readDocument(input, LIMITS.libraryText);
  if (!read.ok) return read;
  const document = read.value;
  const format = formatOf(document);
  if (format === LIBRARY_MIGRATIONS.format) {
    const library = readLibrary(document, kinds);
    return library.ok ? ok({ kind: 'library', library: library.value }) : library;
  }
  if (typeof input === 'string' && input.length > LIMITS.phraseText) {
    return fail(tooLong(input.length, LIMITS.phraseText));
  }
  if (isCarried(document)) return readOfFolder(document, kinds);
  const kind = kinds.find((k) => k !== PHRASES && k.versions.format === format);
  if (kind !== undefined) {
    const other = kind.decode(document);
    return other.ok ? ok({ kind: 'other', thing: { kind, value: other.value } }) : other;
  }
  const phrase = decodePhrase(document);
  return phrase.ok ? ok({ kind: 'phrase', phrase: phrase.value }) : phrase;
}

/** A file of a folder that carries a library, as the thing that is in it. */
function readOfFolder(document: RawDocument, kinds: readonly AnyKind[]): Result<Decoded> {
  const carried = readCarried(document, kinds);
  if (!carried.ok) return carried;
  const { thing } = carried.value;
  if (thing === null) {
    return fail({ message: 'the file says that something was removed', fix: 'Open another one.' });
  }
  return ok(
    thing.kind === PHRASES
      ? // What this kind has read is a phrase.
        { kind: 'phrase', phrase: thing.value as Phrase }
      : { kind: 'other', thing, carried: true },
  );
}

/** What a library holds besides phrases, each with its kind. */
export function othersOf(
  library: Library,
  kinds: readonly AnyKind[] = FILE_KINDS,
): readonly Thing[] {
  return (library.others ?? []).flatMap((value) => {
    const kind = kinds.find((k) => k.versions.format === value.format);
    return kind === undefined ? [] : [{ kind, value }];
  });
}

function readLibrary(document: RawDocument, kinds: readonly AnyKind[]): Result<Library> {
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
  const entries = new Entries(kinds);
  const readList = (list: 'phrases' | 'others', raws: readonly unknown[]): unknown[] => {
    const values: unknown[] = [];
    for (const [at, raw] of raws.entries()) {
      const thing = entries.check(list, at, asDocument(raw));
      if (entries.givenUp) break;
      if (thing !== null) values.push(thing.value);
    }
    return values;
  };
  // What the list of phrases holds was read as phrases.
  const phrases = readList('phrases', shell.data.phrases) as Phrase[];
  const others = entries.givenUp ? [] : readList('others', shell.data.others ?? []);
  if (entries.problems.length > 0) return { ok: false, problems: entries.problems };
  const library: Library = { format: 'degreewise-library', version: 2, phrases };
  // Each was read by the kind whose format it names.
  const named = others as NonNullable<Library['others']>;
  return ok(named.length === 0 ? library : { ...library, others: named });
}
