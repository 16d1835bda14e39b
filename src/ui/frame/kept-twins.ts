import { useMemo, useSyncExternalStore } from 'react';
import { besideId } from '../../core/library/merge';
import { newPair, type Pair, pairName } from '../../core/library/pair';
import { PAIRS } from '../../io/kinds/kinds';
import type { Refusal } from '../../storage/types';
import { nameOf } from '../shared/facts';
import type { Query } from '../shared/query';
import { type App, useApp } from './app-context';
import { whyNot } from './order-steps';

/** What the address of the library asks for to show what is here twice. */
export const TWINS: Query = { twins: 'yes' };

/** Where an older program kept pairs, on this device alone: two ids a line. */
const OLDER = 'degreewise.twins.kept';

type Ids = readonly [string, string];
type Here = Pick<App, 'store' | 'now'>;

/**
 * Says in the library that both of a pair are wanted: nobody is asked about them again, until that is
 * undone.
 * @returns whether it was saved.
 */
export async function keepTwins(app: App, ids: Ids): Promise<boolean> {
  const saved = await keep(app, ids);
  if (saved !== null) {
    app.notices.trouble('They will be asked about again.', whyNot(saved));
    return false;
  }
  app.notices.done(`Both are kept: ${titleFor(app, ids)}.`, {
    label: 'Undo',
    run: () => {
      const there = app.store.of(PAIRS).all();
      const same = there.filter((p) => pairName(p.value.phrases) === pairName(ids));
      void app.store
        .of(PAIRS)
        .remove(same.map((p) => p.value.id))
        .then((result) => {
          const left = whyNot(result);
          if (left.length === 0) app.notices.done('They are asked about again.');
          else app.notices.trouble('Nothing was taken back.', left);
        });
    },
  });
  return true;
}

/** Null where it is in the library now. */
async function keep(app: Here, ids: Ids): Promise<Refusal | null> {
  const pairs = app.store.of(PAIRS);
  let pair = newPair(ids, { now: app.now(), title: titleFor(app, ids) });
  for (let base: number | null = null; ; ) {
    const saved = await pairs.save(pair, base);
    if (saved.kind === 'saved') return null;
    if (saved.kind !== 'conflict') return saved;
    const { conflict } = saved;
    // What was undone once may be said again.
    base = conflict.kind === 'removed' ? conflict.revision : null;
    if (conflict.kind === 'removed' || conflict.kind === 'missing') continue;
    // Another window says so already.
    if (conflict.kind === 'changed' && saysSame(conflict.theirs.value.phrases, ids)) return null;
    if (pairs.all().some((p) => saysSame(p.value.phrases, ids))) return null;
    // Its id is taken: by a pair that came in with a phrase under another id, or by what cannot be read.
    const id = besideId(PAIR, pair);
    if (pair.id === id) return { kind: 'failed', problem: { message: 'no id is free for it' } };
    pair = { ...pair, id };
  }
}

const PAIR = {
  identityOf: PAIRS.identityOf,
  withId: (pair: Pair, id: string): Pair => ({ ...pair, id }),
};

function saysSame(a: Ids, b: Ids): boolean {
  return pairName(a) === pairName(b);
}

function titleFor({ store }: Here, ids: Ids): string {
  const names = ids.map((id) => {
    const there = store.phrase(id);
    return there === null ? id : `“${[...nameOf(there.identity)].slice(0, 200).join('')}”`;
  });
  return names.join(' and ');
}

/** Whether both of a pair are wanted, as the library says; another function whenever that changes. */
export function useKeptTwins(): (ids: Ids) => boolean {
  const { store } = useApp();
  const all = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.of(PAIRS).all(),
  );
  return useMemo(() => {
    const kept = new Set(all.map((p) => pairName(p.value.phrases)));
    return (ids) => kept.has(pairName(ids));
  }, [all]);
}

/** Takes the pairs of an older program into the library; what cannot be saved now is left for the next start. */
export async function takeUpOlderPairs(app: Here): Promise<void> {
  const lines = (localStorage.getItem(OLDER) ?? '').split('\n');
  const left: string[] = [];
  for (const line of lines) {
    const [a, b, ...more] = line.split(' ');
    // What is no pair was never one.
    if (!a || !b || a === b || more.length > 0) continue;
    const refused = await keep(app, [a, b]);
    if (refused !== null && refused.kind !== 'invalid') left.push(line);
  }
  if (left.length === 0) localStorage.removeItem(OLDER);
  else localStorage.setItem(OLDER, left.join('\n'));
}
