import { MOST_PAST, pastBut, versionOf } from '../../core/library/in-step/decide';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { asDocument, formatOf } from '../json/document';
import { LIMITS } from '../json/limits';
import { checkVersion, migrationSequence, type RawDocument } from '../json/migrate';
import { olderForms } from '../json/older-forms';
import type { AnyKind, Thing } from '../kinds/kind';

/** Every version of the files in which a folder carries a library, from 1 on. */
export const CARRIED_MIGRATIONS = migrationSequence('degreewise-carried', []);

/** A file of a folder: one thing in its own JSON, and what is past by it. */
export interface Carried {
  /** What it says is there; null: that it was removed. */
  readonly thing: Thing | null;
  readonly kind: AnyKind;
  readonly id: string;
  /** `versionOf` what is there; null where nothing is. */
  readonly version: string | null;
  readonly past: readonly string[];
  /** Whether it stands as this program has written it. */
  readonly untouched: boolean;
}

const VERSION = /^[0-9a-f]{16}$/u;

/** A thing as the text of a file: its record in one line, in the form in which it is kept everywhere. */
export function writeCarried({ kind, value }: Thing, past: readonly string[]): string {
  return write([
    ['of', kind.versions.format],
    ['id', kind.identityOf(value).id],
    ['is', versionOf(value)],
    ['past', past],
    ['thing', value],
  ]);
}

/** The text of a file that says that something was removed, and in which versions it was there. */
export function writeRemoved(kind: AnyKind, id: string, past: readonly string[]): string {
  return write([
    ['of', kind.versions.format],
    ['id', id],
    ['is', null],
    ['past', past],
    ['thing', null],
  ]);
}

function write(fields: readonly (readonly [string, unknown])[]): string {
  const lines = [['format', CARRIED_MIGRATIONS.format], ['version', 1], ...fields].map(
    ([name, value]) => `  ${JSON.stringify(name)}: ${JSON.stringify(value)}`,
  );
  return `{\n${lines.join(',\n')}\n}\n`;
}

/** Whether a document is such a file, by what it says it is. */
export function isCarried(document: RawDocument): boolean {
  return formatOf(document) === CARRIED_MIGRATIONS.format;
}

/** Reads such a file; its thing is checked by its kind, as everywhere. */
export function readCarried(document: RawDocument, kinds: readonly AnyKind[]): Result<Carried> {
  const late = checkVersion(CARRIED_MIGRATIONS, document);
  if (late !== null) return fail(late);
  const { of, id, is, past, thing } = document;
  const kind = kinds.find((k) => k.versions.format === of);
  if (kind === undefined) {
    return fail({
      message: 'this program does not know what is in the file',
      fix: 'Open it with a newer release of the program.',
      pointer: '/of',
    });
  }
  if (typeof id !== 'string' || !/^[!-~]{1,200}$/u.test(id)) return fail(wrong('id'));
  if (is !== null && !isVersion(is)) return fail(wrong('is'));
  if (!Array.isArray(past) || past.length > MOST_PAST || !past.every(isVersion)) {
    return fail(wrong('past'));
  }
  if (thing === null) {
    return is === null
      ? ok({ thing: null, kind, id, version: null, past, untouched: true })
      : fail(wrong('is'));
  }
  const inside = asDocument(thing);
  const read = inside.ok ? kind.decode(inside.value) : inside;
  if (!read.ok) {
    const problems = read.problems.map((p) => ({ ...p, pointer: `/thing${p.pointer ?? ''}` }));
    return { ok: false, problems };
  }
  const { value } = read;
  const version = versionOf(value);
  // As older programs name it: no version before it.
  const names = is === version && past.length === 0 ? [] : olderNames(kind, value);
  return ok({
    thing: { kind, value },
    kind,
    // Whoever changed the file by hand may have made another thing of it.
    id: kind.identityOf(value).id,
    version,
    // And made it of what it says it is.
    past: pastBut(names, is === null || is === version ? past : [...past, is]).slice(-MOST_PAST),
    untouched: is === version && id === kind.identityOf(value).id,
  });
}

/** How older programs name the version that a thing is. */
function olderNames(kind: AnyKind, value: unknown): readonly string[] {
  // What a kind has read is an object.
  return olderForms(kind.versions, value as object).map(versionOf);
}

/** The longest text that is read of one file. */
export const LONGEST_TEXT = LIMITS.phraseText + MOST_PAST * 24;

function isVersion(value: unknown): value is string {
  return typeof value === 'string' && VERSION.test(value);
}

function wrong(field: string): Problem {
  return {
    message: `the field '${field}' is not as this program writes it`,
    fix: 'Take the file out of the folder, or put an older one in its place.',
    pointer: `/${field}`,
  };
}
