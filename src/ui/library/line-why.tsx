import { type ReactNode, useEffect, useState } from 'react';
import { whyFound } from '../../core/search/define/why';
import { readQuery } from '../../core/search/query/read';
import type { PhraseEntry } from '../../storage/types';
import { useLoaded } from '../frame/app-context';
import { useAround } from '../frame/around-library';
import { placesFound } from './why-words';

interface Props {
  readonly stored: PhraseEntry;
  /** Text of the query that found it. */
  readonly asked: string;
  /** Its degrees, for where no note was looked for. */
  readonly children: ReactNode;
}

/** Of a line of the list: where the notes stand that were looked for, with the wedge of the cards. */
export function LineWhy({ stored, asked, children }: Props) {
  const around = useAround();
  const phrase = useLoaded(stored);
  const [found, setFound] = useState<{ readonly of: unknown; readonly places: string } | null>(
    null,
  );
  useEffect(() => {
    const read = readQuery(asked);
    if (phrase === null || !read.ok) return;
    const { query } = read.value;
    return inTurn(() =>
      setFound({ of: asked, places: placesFound(whyFound(query, phrase, around)) }),
    );
  }, [phrase, asked, around]);
  if (found === null || found.of !== asked || found.places === '') return children;
  return (
    <span className="phrase-line-found">
      <span aria-hidden="true">▾ </span>
      {found.places}
    </span>
  );
}

/** Milliseconds of work between two chances for the page to answer. */
const SLICE = 8;
const waiting = new Set<() => void>();
let working = false;

/** Does some work when its turn comes. @returns takes it back. */
function inTurn(work: () => void): () => void {
  waiting.add(work);
  if (!working) {
    working = true;
    setTimeout(workOn);
  }
  return () => waiting.delete(work);
}

function workOn(): void {
  const end = performance.now() + SLICE;
  try {
    for (const work of waiting) {
      waiting.delete(work);
      work();
      if (performance.now() > end) break;
    }
  } finally {
    working = waiting.size > 0;
    if (working) setTimeout(workOn);
  }
}
