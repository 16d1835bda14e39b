import { headOf, type RecordBirth, type RecordHead } from '../phrase/record';
import { fingerprint } from './merge';

/** The version of the stored form that this code writes. */
export const PAIR_VERSION = 1;

/**
 * That two phrases which are nearly the same are both wanted, so that nobody is asked about them
 * again. The stored JSON has exactly this shape; its title names the two as they were called then.
 */
export interface Pair extends RecordHead<'degreewise-pair', typeof PAIR_VERSION> {
  /** Ids of the two, one unlike the other; in no order that means anything. */
  readonly phrases: readonly [string, string];
}

/**
 * A pair, not yet stored. Its id is made of its phrases: who says the same of the same two on another
 * device writes the same record.
 */
export function newPair([a, b]: readonly [string, string], birth: Omit<RecordBirth, 'id'>): Pair {
  const phrases = a < b ? ([a, b] as const) : ([b, a] as const);
  const id = `pair-${fingerprint(phrases.join(' '))}`;
  return { ...headOf('degreewise-pair', PAIR_VERSION, { ...birth, id }), phrases };
}

/** The two in one text, the same whichever is named first; an id has no spaces. */
export function pairName([a, b]: readonly [string, string]): string {
  return a < b ? `${a} ${b}` : `${b} ${a}`;
}

/**
 * Two that say the same of the same phrases are one, the one that was said last: what the phrases were called then
 * makes no other of it.
 */
export const PAIRS_JOINED = {
  key: ({ phrases }: Pair): string => pairName(phrases),
  /** The same whichever comes first. */
  join(a: Pair, b: Pair): Pair {
    const time = ({ meta }: Pair) => [Date.parse(meta.modified), Date.parse(meta.created)] as const;
    const [[m, c], [n, d]] = [time(a), time(b)];
    // Of two that say it at the same moment either would do, but always the same one.
    const text = ({ parent, meta, phrases }: Pair) => JSON.stringify([phrases, parent, meta]);
    const last = m - n || c - d || (text(a) <= text(b) ? 1 : -1);
    return last > 0 ? a : b;
  },
};
