import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { decodeAny } from '../library/decode';
import { looksLikeTab, readTextTab } from '../text-tab/read/read-text-tab';
import { chordSheet } from './chord-sheet';
import { readQuick } from './read';
import type { QuickDefaults, QuickOrigin } from './read-head';

/** What a pasted text turned out to be. */
export interface Pasted {
  readonly kind: 'json' | 'text tab' | 'quick';
  readonly phrase: Phrase;
  /** What was not understood or kept, in words. */
  readonly ignored: readonly string[];
}

/**
 * Reads a text that was pasted: our JSON, plain tablature, or quick text, whichever it looks like.
 * Of a library the first phrase is taken.
 */
export function readPasted(
  text: string,
  origin: QuickOrigin,
  defaults?: QuickDefaults,
): Result<Pasted> {
  if (/^\ufeff?\s*\{\s*"/u.test(text)) {
    const read = decodeAny(text);
    if (!read.ok) return read;
    const { value } = read;
    if (value.kind === 'other') return fail(noPhrase(value.thing.kind.noun));
    const phrases = value.kind === 'phrase' ? [value.phrase] : value.library.phrases;
    const [phrase, ...more] = phrases;
    if (phrase === undefined) return fail(noPhrase('library'));
    const ignored = more.length === 0 ? [] : [`${more.length} more phrases of the library`];
    return ok({ kind: 'json', phrase, ignored });
  }
  if (looksLikeTab(text)) {
    const read = readTextTab(text, origin, defaults);
    return read.ok ? ok({ kind: 'text tab', ...read.value }) : read;
  }
  const read = readQuick(text, origin, defaults);
  if (read.ok) return ok({ kind: 'quick', phrase: read.value, ignored: [] });
  const sheet = chordSheet(text);
  return sheet === null ? read : fail(sheet);
}

function noPhrase(what: string): Problem {
  return {
    message: `the ${what} holds no phrase`,
    fix: 'Copy a phrase, or a library that has one.',
  };
}
