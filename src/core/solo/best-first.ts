/** What may be offered: what it is worth, or at most can be worth, and how to find out. */
export type Offer<T> = {
  /** Place in the list of phrases; each is offered once. */
  readonly index: number;
  /** What it is worth; before it is opened nothing in it may be worth more. */
  readonly most: number;
} & ({ readonly value: T } | { readonly open: () => readonly Offer<T>[] });

export interface BestFirst<T> {
  /** The best first, equal ones as the phrases stand in the list. */
  readonly values: readonly T[];
  /** Whether something was left unopened. */
  readonly more: boolean;
}

/**
 * The best of some offers, each phrase once. Opened is only what may still be among them, so that of many
 * phrases few are moved and fewer fingered; the answer is that of opening all.
 */
export function bestFirst<T>(offers: readonly Offer<T>[], count: number): BestFirst<T> {
  // The last is taken next.
  const waiting = [...offers].sort((a, b) => (goesBefore(a, b) ? 1 : goesBefore(b, a) ? -1 : 0));
  const values: T[] = [];
  const offered = new Set<number>();
  while (values.length < count) {
    const next = waiting.pop();
    if (next === undefined) return { values, more: false };
    if (offered.has(next.index)) continue;
    if ('value' in next) {
      offered.add(next.index);
      values.push(next.value);
    } else for (const inside of next.open()) putIn(waiting, inside);
  }
  return { values, more: waiting.some((o) => !offered.has(o.index)) };
}

const goesBefore = <T>(a: Offer<T>, b: Offer<T>) =>
  a.most > b.most || (a.most === b.most && a.index < b.index);

/** Behind what it is equal to. */
function putIn<T>(waiting: Offer<T>[], offer: Offer<T>): void {
  let [low, high] = [0, waiting.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (goesBefore(offer, waiting[middle]!)) low = middle + 1;
    else high = middle;
  }
  waiting.splice(low, 0, offer);
}
