import { useEffect, useMemo, useReducer, useRef } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import type { FactsShelf } from '../../storage/facts-shelf';
import type { KnownFacts, PhraseEntry } from '../../storage/types';
import { useApp, useLibrary } from '../frame/app-context';
import { FactsReader } from './facts-reader';

/** Milliseconds of reading before anything is shown: a library of a few hundred needs no more. */
const AT_ONCE = 40;
/** Milliseconds of reading between two chances for the page to answer. */
const SLICE = 12;
/** Milliseconds between two looks at what has been read so far; later ones are further apart. */
const SHOW = 300;
const FURTHER = 1.5;
/** A library of fewer phrases is read as fast as what is kept of it. */
const KEPT_FROM = 200;

export interface ReadLibrary {
  /** The facts that are known, in no particular order. */
  readonly facts: readonly PhraseFacts[];
  /** How far reading has come; null when all are read. */
  readonly reading: { readonly done: number; readonly total: number } | null;
  /** What the list begins with, known before the rest; null where it is not. */
  readonly first: readonly PhraseFacts[] | null;
}

/** What earlier openings have read; comes where there is much. */
let shelf: FactsShelf | null = null;
const SHELF = { get: (id: string, sum: number) => shelf?.get(id, sum) ?? null };

let coming: Promise<void> | null = null;

/** Never fails: without it all is read from the phrases. */
function loadShelf(): Promise<void> {
  coming ??= import('../../storage/facts-shelf').then(
    (m) => {
      shelf = new m.FactsShelf();
      return shelf.load();
    },
    () => {
      coming = null;
    },
  );
  return coming;
}

/** So many begin the list before the rest is read. */
const FIRST = 36;

/**
 * Facts of every phrase, read in slices where there are many.
 * @param opening Nothing but how the list begins is known so far.
 */
export function useFacts(stored: readonly PhraseEntry[], opening = false): ReadLibrary {
  const { store } = useApp();
  const { front, progress } = useLibrary();
  const [look, wake] = useReducer((n: number) => n + 1, 0);
  const shown = useRef(false);
  const many = stored.length >= KEPT_FROM;
  const reader = useMemo(() => {
    const made = new FactsReader(stored, many ? SHELF : null);
    // What is kept is there in a moment.
    if (!many || shelf?.ready === true) made.readFor(shown.current ? SLICE : AT_ONCE);
    return made;
  }, [stored, many]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when more has been read.
  const read = useMemo(() => {
    const { facts, done } = reader;
    const missing = done < stored.length;
    return { facts, reading: missing ? { done, total: stored.length } : null };
  }, [stored, reader, look]);
  const missing = read.reading !== null;
  useEffect(() => {
    shown.current = true;
    const keep = () => {
      if (many) void shelf?.keep(reader.takeFresh(), stored);
    };
    if (!missing) return keep();
    let last = performance.now();
    // Each look costs what the library holds, so that there may be few of them in a large one.
    let wait = SHOW;
    let timer: ReturnType<typeof setTimeout> | null = null;
    let ended = false;
    void (many ? loadShelf() : Promise.resolve()).then(() => {
      if (!ended) timer = setTimeout(step);
    });
    function step() {
      const done = reader.readFor(SLICE);
      if (done || performance.now() - last > wait) {
        last = performance.now();
        wait *= FURTHER;
        keep();
        wake();
      }
      if (done) return;
      const wanted = reader.wanted();
      const ready =
        wanted.length === 0
          ? Promise.resolve()
          : store.loadAll(wanted).then((loaded) => reader.give(wanted, loaded));
      void ready.then(() => {
        if (!ended) timer = setTimeout(step);
      });
    }
    return () => {
      ended = true;
      if (timer !== null) clearTimeout(timer);
      keep();
    };
  }, [reader, missing, many, stored, store]);
  const first = front?.facts ?? null;
  if (!opening) return { ...read, first };
  return { facts: read.facts, reading: progress ?? { done: 0, total: front?.total ?? 0 }, first };
}

/** Keeps what the list begins with, for the next opening. */
export function useKeepFirst(
  list: readonly PhraseFacts[],
  facts: readonly PhraseFacts[],
  phrases: readonly PhraseEntry[],
  wanted: boolean,
): void {
  const { store } = useApp();
  useEffect(() => {
    // While a long list is put in order it is that of a moment ago.
    if (!wanted || list.length < KEPT_FROM || facts.length !== phrases.length) return;
    const first = list.slice(0, FIRST).flatMap((f): readonly KnownFacts[] => {
      const stored = store.phrase(f.id);
      return stored === null ? [] : [{ id: f.id, sum: stored.sum, facts: f }];
    });
    store.keepFront(phrases, first);
  }, [list, facts, phrases, wanted, store]);
}
