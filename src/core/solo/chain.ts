import { logSum } from '../joins/share';

/** What can follow something; −1 is the end. */
export interface Choices {
  readonly next: readonly number[];
  /** The logarithm of the share of each, once more for each bar left empty before it, less what such bars cost: how likely it is. */
  readonly share: Float64Array;
  /** The same with the share times the bars that it covers: what it counts among ways. */
  readonly worth: Float64Array;
}

/** What ways are weighed by: the best by worth, drawn ones by how likely they are. */
type Weight = Exclude<keyof Choices, 'next'>;

/** How often the share of each choice counts: by the bars left empty before it, and by those it covers. */
export interface Bars {
  readonly share: Int32Array;
  readonly worth: Int32Array;
  /** What the bars cost that it leaves empty, whatever its share is. */
  readonly left: Float64Array;
}

/** @param logs Logarithms of the shares. */
export function weighed(next: readonly number[], logs: Float64Array, bars: Bars): Choices {
  const [share, worth] = [new Float64Array(logs.length), new Float64Array(logs.length)];
  for (let k = 0; k < logs.length; k++) {
    share[k] = logs[k]! * bars.share[k]! - bars.left[k]!;
    worth[k] = logs[k]! * bars.worth[k]! - bars.left[k]!;
  }
  return { next, share, worth };
}

/** Things numbered from 0, and what each leads to. */
export interface Chain {
  /** Each after everything that it leads to. */
  readonly order: readonly number[];
  /** What follows one, or begins (null). */
  readonly after: (from: number | null) => Choices;
}

/**
 * @param open Which may be taken.
 * @param draw Numbers from 0 up to 1, to draw a way in proportion to its likelihood; null for the best.
 * @returns What is chosen, in order; or null where no way leads through.
 */
export function findWay(
  chain: Chain,
  open: readonly boolean[],
  draw: (() => number) | null,
): readonly number[] | null {
  const by = draw === null ? 'worth' : 'share';
  const ahead = aheadIn(chain, open, by, draw === null ? 'best' : 'all');
  const way: number[] = [];
  for (let at: number | null = null; ; ) {
    const choices = chain.after(at);
    const all = totals(choices, by, ahead);
    const pick = draw === null ? best(all) : drawn(all, draw());
    const chosen = choices.next[pick];
    if (chosen === undefined) return null;
    if (chosen < 0) return way;
    way.push(chosen);
    at = chosen;
  }
}

/**
 * For each what the best of all ways that have it is worth, or how likely all of them are together;
 * −Infinity where none has.
 */
export function waysThrough(chain: Chain, open: readonly boolean[], of: 'best' | 'all') {
  const by = of === 'best' ? 'worth' : 'share';
  const ahead = aheadIn(chain, open, by, of);
  const before = new Float64Array(open.length).fill(-Infinity);
  const lead = (from: number | null, sofar: number) => {
    const { next, [by]: weights } = chain.after(from);
    // Written out, as in `totals`: a form has a hundred thousand joins, and each try goes over them again.
    for (let k = 0; k < weights.length; k++) {
      const to = next[k]!;
      if (to < 0 || !open[to]) continue;
      const more = sofar + weights[k]!;
      if (of === 'all') before[to] = logSum([before[to]!, more]);
      else if (more > before[to]!) before[to] = more;
    }
  };
  lead(null, 0);
  for (let k = chain.order.length - 1; k >= 0; k--) {
    const i = chain.order[k]!;
    if (open[i] && before[i]! > -Infinity) lead(i, before[i]!);
  }
  return before.map((b, i) => (open[i] ? b + ahead[i]! : -Infinity));
}

/** What each leads to: the best of its ways, or all of them together. */
function aheadIn(
  { order, after }: Chain,
  open: readonly boolean[],
  by: Weight,
  of: 'best' | 'all',
): Float64Array {
  const ahead = new Float64Array(open.length).fill(-Infinity);
  for (const i of order) {
    if (!open[i]) continue;
    const choices = after(i);
    ahead[i] = of === 'best' ? most(choices, by, ahead) : logSum(totals(choices, by, ahead));
  }
  return ahead;
}

/** What each choice is worth with what it leads to: nothing (−Infinity) where that may not be taken. */
function totals(choices: Choices, by: Weight, ahead: Float64Array) {
  const { next, [by]: weights } = choices;
  const all = new Float64Array(weights.length);
  for (let k = 0; k < all.length; k++) {
    const to = next[k]!;
    all[k] = to < 0 ? weights[k]! : weights[k]! + ahead[to]!;
  }
  return all;
}

/** The greatest of `totals`, which are as many as a form has joins, for each try. */
function most(choices: Choices, by: Weight, ahead: Float64Array): number {
  const { next, [by]: weights } = choices;
  let top = -Infinity;
  for (let k = 0; k < weights.length; k++) {
    const to = next[k]!;
    const total = to < 0 ? weights[k]! : weights[k]! + ahead[to]!;
    if (total > top) top = total;
  }
  return top;
}

function best(values: Float64Array): number {
  let at = -1;
  for (const [i, v] of values.entries()) {
    if (v > -Infinity && (at < 0 || v > values[at]!)) at = i;
  }
  return at;
}

function drawn(logs: Float64Array, at: number): number {
  const all = logSum(logs);
  if (all === -Infinity) return -1;
  let left = at;
  for (const [i, log] of logs.entries()) {
    left -= Math.exp(log - all);
    if (left <= 0 && log > -Infinity) return i;
  }
  return best(logs);
}
