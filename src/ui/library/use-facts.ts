import { useEffect, useMemo, useReducer, useRef } from 'react';
import { factsIfKnown, type PhraseFacts } from '../../core/library/facts';
import type { StoredPhrase } from '../../storage/types';
import { FactsReader } from './facts-reader';

/** Milliseconds of reading before anything is shown: a library of a few hundred needs no more. */
const AT_ONCE = 40;
/** Milliseconds of reading between two chances for the page to answer. */
const SLICE = 12;
/** Milliseconds between two looks at what has been read so far; later ones are further apart. */
const SHOW = 300;
const FURTHER = 1.5;

export interface ReadLibrary {
  /** The facts that are known, in no particular order. */
  readonly facts: readonly PhraseFacts[];
  /** How far reading has come; null when all are read. */
  readonly reading: { readonly done: number; readonly total: number } | null;
}

/** Facts of every phrase, read in slices where there are many. */
export function useFacts(stored: readonly StoredPhrase[]): ReadLibrary {
  const [look, wake] = useReducer((n: number) => n + 1, 0);
  const shown = useRef(false);
  const reader = useMemo(() => {
    const made = new FactsReader(stored);
    made.readFor(shown.current ? SLICE : AT_ONCE);
    return made;
  }, [stored]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when more has been read.
  const read = useMemo(() => {
    const facts = stored.flatMap((s) => factsIfKnown(s.phrase) ?? []);
    const missing = facts.length < stored.length;
    return { facts, reading: missing ? { done: facts.length, total: stored.length } : null };
  }, [stored, reader, look]);
  const missing = read.reading !== null;
  useEffect(() => {
    shown.current = true;
    if (!missing) return;
    let last = performance.now();
    // Each look costs what the library holds, so that there may be few of them in a large one.
    let wait = SHOW;
    let timer = setTimeout(step);
    function step() {
      const done = reader.readFor(SLICE);
      if (done || performance.now() - last > wait) {
        last = performance.now();
        wait *= FURTHER;
        wake();
      }
      if (!done) timer = setTimeout(step);
    }
    return () => clearTimeout(timer);
  }, [reader, missing]);
  return read;
}
