import { fail, ok, type Problem, type Result } from '../../core/result';
import { LIMITS } from './limits';
import type { RawDocument } from './migrate';
import { explainSyntax, isNestedDeeper } from './syntax';

/**
 * A document from JSON text, or from a value already parsed; what it holds is still unknown.
 * @param most Characters of a text.
 */
export function readDocument(input: unknown, most: number): Result<RawDocument> {
  const parsed = typeof input === 'string' ? parse(input, most) : ok(input);
  return parsed.ok ? asDocument(parsed.value) : parsed;
}

/** A parsed value as a document: an object that is no list; else the problem. */
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

/** What is said of a text with more characters than are read. */
export function tooLong(length: number, most: number): Problem {
  return {
    message: `the text has ${length} characters, and at most ${most} are read`,
    fix: 'Split it into several files, or check whether it is what you meant to open.',
  };
}

/** What a document says it is. */
export function formatOf(document: RawDocument): unknown {
  return Object.hasOwn(document, 'format') ? document.format : undefined;
}

/** Why a document is not of a format; null where it is. */
export function wrongFormat(document: RawDocument, format: string): Problem | null {
  const found = formatOf(document);
  if (found === format) return null;
  const ours = typeof found === 'string' && /^degreewise-[a-z-]{1,40}$/u.test(found);
  return {
    message: ours
      ? `this is a ${nounOf(found)}, and a ${nounOf(format)} is expected`
      : `nothing here says that this is a ${nounOf(format)}`,
    fix: `Open a file that this program has written; in that of a ${nounOf(format)} 'format' must be '${format}'.`,
    pointer: '/format',
  };
}

/** What a format holds, in a word. */
function nounOf(format: string): string {
  return format.replace(/^degreewise-/u, '').replaceAll('-', ' ');
}
