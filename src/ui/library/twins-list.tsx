import { useEffect, useState } from 'react';
import type { Twins } from '../../core/search/finder';
import type { PhraseEntry } from '../../storage/types';
import { useLoaded } from '../frame/app-context';
import { addressOf } from '../frame/route';
import { useSearchClient } from '../frame/search/use-search';
import { navigate } from '../frame/use-route';
import { nameOf } from '../shared/facts';
import { count, keyName } from '../shared/words';
import type { Entries } from './phrase-list';
import './search.css';

/** Pairs of which somebody said that both are wanted, on this device. */
const KEPT = 'degreewise.twins.kept';
/** Phrases looked at between two words on how far it has come, and two chances for other questions. */
const SLICE = 25;
/** So many pairs are enough for one sitting. */
const MOST = 50;

interface Props {
  readonly byId: Entries;
  readonly remove: (ids: readonly string[]) => void;
}

/** What is in the library twice, in whatever keys; each pair with what can be done about it. */
export function TwinsList({ byId, remove }: Props) {
  const { pairs, looked } = useTwins();
  const [kept, setKept] = useState(keptPairs);
  const here = pairs.filter(
    (p) => p.ids.every((id) => byId.get(id) !== undefined) && !kept.includes(p.ids.join(' ')),
  );
  const done = looked !== null && (looked.done >= looked.of || pairs.length >= MOST);
  const keepBoth = (p: Twins) => {
    const next = [...kept, p.ids.join(' ')];
    setKept(next);
    try {
      localStorage.setItem(KEPT, next.join('\n'));
    } catch {
      // Storage is switched off for this address: they are asked about again the next time.
    }
  };
  return (
    <section className="twins" aria-labelledby="twins">
      <h2 id="twins">Here twice, in any key</h2>
      <p role="status">
        {done ? `${count(here.length, 'pair')} found.` : 'Comparing the phrases …'}{' '}
        {!done && looked !== null && (
          <progress max={looked.of} value={looked.done} aria-label="Phrases compared" />
        )}
      </p>
      <ul>
        {here.map((p) => {
          const [a, b] = p.ids.map((id) => byId.get(id)!) as [PhraseEntry, PhraseEntry];
          const [first, second] = [<Name key="a" of={a} />, <Name key="b" of={b} />];
          return (
            <li key={p.ids.join(' ')}>
              <p>
                <a href={addressOf({ page: 'phrase', id: a.id, query: {} })}>{first}</a> and{' '}
                <a href={addressOf({ page: 'phrase', id: b.id, query: {} })}>{second}</a>{' '}
                <span className="quiet">
                  {p.unlikeness === 0
                    ? 'the same melody'
                    : `${Math.round(100 * (1 - p.unlikeness))}% alike`}
                </span>
              </p>
              <p className="buttons">
                <a
                  className="button"
                  href={addressOf({
                    page: 'compare',
                    a: a.id,
                    b: b.id,
                    query: {},
                  })}
                >
                  Compare
                </a>
                <button type="button" onClick={() => remove([b.id])}>
                  Keep only {first}
                </button>
                <button type="button" onClick={() => remove([a.id])}>
                  Keep only {second}
                </button>
                <button type="button" onClick={() => keepBoth(p)}>
                  Keep both
                </button>
              </p>
            </li>
          );
        })}
      </ul>
      <button type="button" onClick={() => navigate({ page: 'library', query: {} }, 'replace')}>
        Done
      </button>
    </section>
  );
}

/** The pairs found so far, and how far it has come. */
function useTwins() {
  const { client, state } = useSearchClient(true);
  const [pairs, setPairs] = useState<readonly Twins[]>([]);
  const [looked, setLooked] = useState<{ readonly done: number; readonly of: number } | null>(null);
  const ready = client !== null && state.reading === null;
  useEffect(() => {
    if (!ready) return;
    let shown = true;
    void (async () => {
      const all: Twins[] = [];
      for (let done = 0; shown; ) {
        const next = await client.twins(done, SLICE);
        if (!shown) return;
        all.push(...next.found);
        setPairs([...all]);
        setLooked({ done: next.looked, of: next.of });
        if (next.looked <= done || next.looked >= next.of || all.length >= MOST) return;
        done = next.looked;
      }
    })();
    return () => {
      shown = false;
    };
  }, [ready, client]);
  return { pairs, looked };
}

/** The title, and the key once it is read. */
function Name({ of }: { readonly of: PhraseEntry }) {
  const phrase = useLoaded(of);
  return (
    <>
      {nameOf(of.identity)}
      {phrase !== null && ` (${keyName(phrase.key)})`}
    </>
  );
}

function keptPairs(): readonly string[] {
  try {
    return (localStorage.getItem(KEPT) ?? '').split('\n').filter((line) => line !== '');
  } catch {
    return [];
  }
}
