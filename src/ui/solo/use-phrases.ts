import { useEffect, useRef, useState } from 'react';
import type { Meter, Phrase } from '../../core/phrase/types';
import type { PhraseEntry } from '../../storage/types';
import { useApp, useLibrary } from '../frame/app-context';
import { meterText } from './bench-course';
import { MOST_TRIED, readTried } from './tried';

export interface ForSolo {
  /** Null while they are being read. */
  readonly phrases: readonly Phrase[] | null;
  /** How many the library has. */
  readonly of: number;
}

/** What was read last, and for what. */
interface Known {
  readonly of: readonly PhraseEntry[] | null;
  readonly metre: string;
  /** With the empty one, which is none. */
  readonly ids: ReadonlySet<string>;
}

const NOTHING: Known = { of: null, metre: '', ids: new Set() };

/**
 * The phrases that a solo is made of, read for it.
 * @param held Ids of those that lie on its bars, divided by spaces: they are read however old they are.
 */
export function usePhrasesForSolo(held: string, meter: Meter): ForSolo {
  const { store } = useApp();
  const { state, phrases: all } = useLibrary();
  const [read, setRead] = useState<{
    readonly of: readonly PhraseEntry[];
    readonly phrases: readonly Phrase[];
  } | null>(null);
  // Where all are read anyway, nothing is read again for what is put onto a bar.
  const many = all.length > MOST_TRIED;
  const besides = many ? held : '';
  const metre = many ? meterText(meter) : '';
  const known = useRef<Known | null>(null);
  useEffect(() => {
    if (state !== 'ready') return;
    // What is put onto a bar was tried, as a rule: it is heard at once, and nothing is read for it.
    const { of, metre: before, ids } = known.current ?? NOTHING;
    if (of === all && before === metre && besides.split(' ').every((id) => ids.has(id))) return;
    let wanted = true;
    const load = async (ids: readonly string[]) => (await store.loadAll(ids)).map((s) => s.phrase);
    const reading =
      metre === '' ? load(all.map((p) => p.id)) : readLast(all, besides.split(' '), metre, load);
    void reading.then((phrases) => {
      if (!wanted) return;
      known.current = { of: all, metre, ids: new Set(['', ...phrases.map((p) => p.id)]) };
      setRead({ of: all, phrases });
    });
    return () => {
      wanted = false;
    };
  }, [store, state, all, besides, metre]);
  const phrases = read !== null && read.of === all && all.length > 0 ? read.phrases : null;
  return { phrases, of: all.length };
}

async function readLast(
  all: readonly PhraseEntry[],
  held: readonly string[],
  metre: string,
  load: (ids: readonly string[]) => Promise<readonly Phrase[]>,
): Promise<readonly Phrase[]> {
  const when = (p: PhraseEntry) => p.identity.modified;
  const last = [...all].sort((a, b) => (when(a) < when(b) ? 1 : -1)).map((p) => p.id);
  const tried = await readTried(last, metre, load);
  const known = new Set(tried.map((p) => p.id));
  const here = new Set(last);
  return [...tried, ...(await load(held.filter((id) => here.has(id) && !known.has(id))))];
}
