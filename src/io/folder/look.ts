import { versionOf } from '../../core/library/in-step/decide';
import { fail, type Problem, type Result } from '../../core/result';
import { formatOf, readDocument } from '../json/document';
import type { AnyKind } from '../kinds/kind';
import { type Carried, isCarried, LONGEST_TEXT, readCarried } from './format';
import { markIn } from './names';

/** What a file of a folder turned out to be. */
export type Looked =
  /** Written by this program, or made of what it has written. */
  | { readonly kind: 'carried'; readonly carried: Carried }
  /** A thing of ours that somebody has put there: it is read, and stays as it is. */
  | { readonly kind: 'put there'; readonly carried: Carried }
  /** Not ours. */
  | { readonly kind: 'foreign' }
  /** Ours, half arrived, damaged or of a newer program: it is left alone and looked at again. */
  | { readonly kind: 'unreadable'; readonly problems: readonly Problem[] };

/** Says what a file is, by what is in it. */
export function lookAt(path: string, text: string, kinds: readonly AnyKind[]): Looked {
  const read = readDocument(text, LONGEST_TEXT);
  if (!read.ok) {
    const ours = markIn(path) !== null || /^\s*\{\s*"format"\s*:\s*"degreewise-/u.test(text);
    return ours ? unreadable(text === '' ? fail(EMPTY) : read) : { kind: 'foreign' };
  }
  const document = read.value;
  if (isCarried(document)) {
    const carried = readCarried(document, kinds);
    return carried.ok ? { kind: 'carried', carried: carried.value } : unreadable(carried);
  }
  const kind = kinds.find((k) => k.versions.format === formatOf(document));
  if (kind === undefined) return { kind: 'foreign' };
  const thing = kind.decode(document);
  if (!thing.ok) return unreadable(thing);
  const { value } = thing;
  const { id } = kind.identityOf(value);
  const version = versionOf(value);
  return {
    kind: 'put there',
    carried: { thing: { kind, value }, kind, id, version, past: [], untouched: false },
  };
}

function unreadable(read: Result<unknown>): Looked {
  return { kind: 'unreadable', problems: read.ok ? [] : read.problems };
}

const EMPTY: Problem = {
  message: 'the file is empty: it may still be on its way',
  fix: 'Wait until the file service is done.',
};
