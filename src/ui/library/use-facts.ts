import { useEffect, useMemo, useReducer } from 'react';
import { factsIfKnown, factsOf, type PhraseFacts } from '../../core/library/facts';
import type { StoredPhrase } from '../../storage/types';

/** Milliseconds of reading before anything is shown: a library of a few hundred needs no more. */
const AT_ONCE = 40;
/** Milliseconds of reading between two chances for the page to answer. */
const SLICE = 12;
/** Milliseconds between two looks at what has been read so far. */
const SHOW = 300;

export interface ReadLibrary {
  /** The facts that are known, in no particular order. */
  readonly facts: readonly PhraseFacts[];
  /** How far reading has come; null when all are read. */
  readonly reading: { readonly done: number; readonly total: number } | null;
}

/** Facts of every phrase, read in slices where there are many. */
export function useFacts(stored: readonly StoredPhrase[]): ReadLibrary {
  const [look, wake] = useReducer((n: number) => n + 1, 0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when more has been read.
  const read = useMemo(() => {
    readFor(stored, AT_ONCE);
    const facts = stored.flatMap((s) => factsIfKnown(s.phrase) ?? []);
    const missing = facts.length < stored.length;
    return { facts, reading: missing ? { done: facts.length, total: stored.length } : null };
  }, [stored, look]);
  const missing = read.reading !== null;
  useEffect(() => {
    if (!missing) return;
    let shown = performance.now();
    let timer = setTimeout(step);
    function step() {
      const done = readFor(stored, SLICE);
      if (done || performance.now() - shown > SHOW) {
        shown = performance.now();
        wake();
      }
      if (!done) timer = setTimeout(step);
    }
    return () => clearTimeout(timer);
  }, [stored, missing]);
  return read;
}

/** Reads facts for so many milliseconds. @returns whether all are read. */
function readFor(stored: readonly StoredPhrase[], milliseconds: number): boolean {
  const end = performance.now() + milliseconds;
  for (const { phrase } of stored) {
    if (factsIfKnown(phrase) !== null) continue;
    if (performance.now() > end) return false;
    factsOf(phrase);
  }
  return true;
}
