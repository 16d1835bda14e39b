import { useEffect, useRef, useState } from 'react';
import type { Twins } from '../../core/search/finder';
import type { PhraseEntry } from '../../storage/types';
import { useApp, useLoaded } from '../frame/app-context';
import { keepOnly } from '../frame/keep-version';
import { keepTwins, useKeptTwins } from '../frame/kept-twins';
import { phrasesOf } from '../frame/phrases-of';
import { addressOf } from '../frame/route';
import { useSearchClient } from '../frame/search/use-search';
import { navigate } from '../frame/use-route';
import { nameOf } from '../shared/facts';
import { count, keyName } from '../shared/words';
import type { Entries } from './phrase-list';
import './search.css';

/** Phrases looked at between two words on how far it has come, and two chances for other questions. */
const SLICE = 25;
/** So many pairs are found before one is asked whether to go on. */
const MOST = 50;

interface Props {
  readonly byId: Entries;
}

/** What is in the library twice, in whatever keys; each pair with what can be done about it. */
export function TwinsList({ byId }: Props) {
  const [most, setMost] = useState(MOST);
  const isKept = useKeptTwins();
  const { pairs, looked, ahead } = useTwins(most, byId, isKept);
  // One that was changed is compared anew; one that was removed is in no pair.
  const here = pairs.filter(
    (p) =>
      !isKept(p.ids) &&
      p.ids.every((id, i) => byId.get(id) !== undefined && byId.get(id) === p.as[i]),
  );
  const all = looked !== null && looked.done >= looked.of && ahead === 0;
  const done = all || unkept(pairs, isKept) >= most;
  return (
    <section className="twins" aria-labelledby="twins">
      <h2 id="twins">Here twice, in any key</h2>
      <p role="status">
        {done
          ? `${count(here.length, 'pair')} found${all ? '' : ' so far'}.`
          : 'Comparing the phrases …'}{' '}
        {!done && looked !== null && (
          <progress max={looked.of} value={looked.done} aria-label="Phrases compared" />
        )}
      </p>
      <ul>
        {here.map((p) => (
          <Pair key={p.ids.join(' ')} of={p} byId={byId} />
        ))}
      </ul>
      <p className="buttons">
        {done && !all && (
          <button type="button" onClick={() => setMost(unkept(pairs, isKept) + MOST)}>
            Look for more
          </button>
        )}
        <button type="button" onClick={() => navigate({ page: 'library', query: {} }, 'replace')}>
          Done
        </button>
      </p>
    </section>
  );
}

/** Two phrases that are nearly the same, and what can be done about it. */
function Pair(props: { readonly of: Twins; readonly byId: Entries }) {
  const { ids, unlikeness } = props.of;
  const app = useApp();
  const [a, b] = ids.map((id) => props.byId.get(id)!) as [PhraseEntry, PhraseEntry];
  const [first, second] = [<Name key="a" of={a} />, <Name key="b" of={b} />];
  const keep = async (stays: string, goes: string) => {
    const [kept, other] = await phrasesOf(app.store, [stays, goes]);
    if (kept !== undefined && other !== undefined) await keepOnly(app, kept, other);
  };
  const beside = addressOf({ page: 'compare', a: a.id, b: b.id, query: { choose: 'twins' } });
  return (
    <li>
      <p>
        <a href={addressOf({ page: 'phrase', id: a.id, query: {} })}>{first}</a> and{' '}
        <a href={addressOf({ page: 'phrase', id: b.id, query: {} })}>{second}</a>{' '}
        <span className="quiet">
          {unlikeness === 0 ? 'the same melody' : `${Math.round(100 * (1 - unlikeness))}% alike`}
        </span>
      </p>
      <p className="buttons">
        <a className="button" href={beside}>
          Compare
        </a>
        <button type="button" onClick={() => void keep(a.id, b.id)}>
          Keep only {first}
        </button>
        <button type="button" onClick={() => void keep(b.id, a.id)}>
          Keep only {second}
        </button>
        <button type="button" onClick={() => void keepTwins(app, ids)}>
          Keep both
        </button>
      </p>
    </li>
  );
}

/** How far the comparing had come when the list was left, so that who comes back does not wait for it again. */
let left: (Found & { readonly client: object }) | null = null;

interface Found {
  readonly pairs: readonly Pairing[];
  readonly looked: { readonly done: number; readonly of: number } | null;
  /** So many of the newest have come since, and are not compared yet. */
  readonly ahead: number;
}

/** A pair with its phrases as they were compared. */
interface Pairing extends Twins {
  readonly as: readonly (PhraseEntry | undefined)[];
}

const NOTHING: Found = { pairs: [], looked: null, ahead: 0 };

type IsKept = ReturnType<typeof useKeptTwins>;

/** How many pairs one is asked about. */
function unkept(pairs: readonly Twins[], isKept: IsKept): number {
  return pairs.filter((p) => !isKept(p.ids)).length;
}

/** The pairs found so far, also those of which both are wanted, and how far it has come. */
function useTwins(most: number, byId: Entries, isKept: IsKept): Found {
  const { client, state } = useSearchClient(true);
  const [found, setFound] = useState(NOTHING);
  const ready = client !== null && state.reading === null;
  const here = useRef(byId);
  useEffect(() => {
    here.current = byId;
  });
  // Goes on where one of them is kept, so that another pair is found in its place.
  useEffect(() => {
    if (!ready) return;
    let shown = true;
    const still = (p: Pairing) => p.ids.every((id, i) => here.current.get(id) === p.as[i]);
    const before = left?.client === client ? left : NOTHING;
    let pairs = before.pairs.filter(still);
    let { done, of } = before.looked ?? { done: 0, of: 0 };
    let { ahead } = before;
    setFound({ ...before, pairs });
    void (async () => {
      while (shown && unkept(pairs, isKept) < most) {
        const many = Math.min(SLICE, ahead);
        const next = await (ahead > 0
          ? client.twins(ahead - many, many)
          : client.twins(done, SLICE));
        if (!shown) return;
        // What came, or was changed, meanwhile counts as the newest: it is compared before the rest.
        const came = of === 0 ? 0 : next.of - of;
        of = next.of;
        if (came !== 0) {
          [ahead, done] = came > 0 ? [ahead + came, done + came] : [0, 0];
          pairs = came > 0 ? pairs.filter(still) : [];
          continue;
        }
        const as = next.found.map((p) => ({ ...p, as: p.ids.map((id) => here.current.get(id)) }));
        if (ahead > 0) {
          ahead -= many;
          pairs = [...as, ...pairs];
        } else {
          done = Math.max(done, next.looked);
          pairs = [...pairs, ...as];
        }
        const looked = { done, of };
        left = { client, pairs, looked, ahead };
        setFound({ pairs, looked, ahead });
        if (ahead === 0 && done >= of) return;
      }
    })();
    return () => {
      shown = false;
    };
  }, [ready, client, most, isKept]);
  return found;
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
