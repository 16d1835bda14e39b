import { logShares, logSum } from '../joins/share';

/** A stretch of bars that something fills. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

export interface WayTask {
  /** Bars of the form. */
  readonly bars: number;
  readonly stretches: readonly Stretch[];
  /** How well a stretch follows another, or begins (null); −Infinity where it cannot. */
  readonly score: (before: number | null, next: number) => number;
  /** What it counts to leave the last bar empty, on the scale of the scores. */
  readonly rest: number;
  /** Bars that may stay empty between two stretches, and before the end; default 1. */
  readonly mostRest?: number;
  /** Bars from 0 that stay empty on purpose: they do not count among those. */
  readonly resting?: ReadonlySet<number>;
  /** Bars from 0 that are not passed over: a stretch begins there. */
  readonly begins?: ReadonlySet<number>;
}

export interface WayWish {
  /** Which stretches may be taken; all where absent. Shares count the others as well. */
  readonly allowed?: (stretch: number) => boolean;
  /** Numbers from 0 up to 1, to draw a way in proportion to its likelihood; null for the best. */
  readonly draw: (() => number) | null;
}

/** What can follow; −1 is the end. */
interface Choices {
  readonly next: readonly number[];
  /** The logarithm of the share of each, once more for each bar left empty before it: how likely it is. */
  readonly share: Float64Array;
  /** The same times the bars that it covers: what it counts among ways. */
  readonly worth: Float64Array;
}

/** What ways are weighed by: the best by worth, drawn ones by how likely they are. */
type Weight = Exclude<keyof Choices, 'next'>;

/** How many bars may stay empty between two phrases where nobody says. */
const USUAL_REST = 1;

/**
 * Ways through a form from its first bar to its last: shortest paths over all stretches, exactly. Each
 * choice counts as the logarithm of its share among all that could be chosen there, times the bars
 * that it covers, so that few long phrases are not better than many short ones only because there
 * are fewer joins. A way that is drawn is as likely as its shares make it, one choice after the other: there
 * the bars that a phrase fills do not count, or a share of a third would be one of eighty over four bars, and
 * nearly every draw the best way; a bar left empty is a choice as well. What is not allowed keeps its share: the best of what is left is what would be the
 * best of all ways that have the given places, and how well one leads to a given place counts.
 */
export class Ways {
  private readonly byStart = new Map<number, number[]>();
  private readonly known = new Map<number | null, Choices>();
  /** Whatever ends last is settled first. */
  private readonly order: readonly number[];
  private readonly barred: readonly boolean[];

  constructor(private readonly task: WayTask) {
    const { stretches, resting, begins } = task;
    for (const [i, s] of stretches.entries()) {
      const list = this.byStart.get(s.start) ?? [];
      list.push(i);
      this.byStart.set(s.start, list);
    }
    this.order = stretches
      .map((_, i) => i)
      .sort((a, b) => stretches[b]!.start - stretches[a]!.start);
    this.barred = stretches.map(({ start, end }) => {
      for (let bar = start; bar < end; bar++) {
        if (resting?.has(bar) || (bar > start && begins?.has(bar))) return true;
      }
      return false;
    });
  }

  /** @returns The places of the chosen stretches in order, or null where no way leads through. */
  find({ allowed, draw }: WayWish): readonly number[] | null {
    const open = this.openTo(allowed);
    const by = draw === null ? 'worth' : 'share';
    const ahead = this.ahead(open, by, draw === null ? most : logSum);
    const way: number[] = [];
    for (let at: number | null = null; ; ) {
      const choices = this.after(at);
      const all = totals(choices, by, open, ahead);
      const pick = draw === null ? best(all) : drawn(all, draw());
      const chosen = choices.next[pick];
      if (chosen === undefined) return null;
      if (chosen < 0) return way;
      way.push(chosen);
      at = chosen;
    }
  }

  /**
   * For every stretch the worth of the best of all ways that have it; −Infinity where none has. What
   * could stand in one place while the others are given is ranked by it.
   */
  through(allowed?: (stretch: number) => boolean): Float64Array {
    const open = this.openTo(allowed);
    const ahead = this.ahead(open, 'worth', most);
    const before = new Float64Array(open.length).fill(-Infinity);
    const lead = (from: number | null, sofar: number) => {
      const { next, worth } = this.after(from);
      for (const [k, to] of next.entries()) {
        if (to >= 0 && sofar + worth[k]! > before[to]!) before[to] = sofar + worth[k]!;
      }
    };
    lead(null, 0);
    for (const i of [...this.order].reverse()) {
      if (open[i] && before[i]! > -Infinity) lead(i, before[i]!);
    }
    return before.map((b, i) => (open[i] ? b + ahead[i]! : -Infinity));
  }

  private openTo(allowed: ((stretch: number) => boolean) | undefined): readonly boolean[] {
    return this.barred.map((b, i) => !b && (allowed?.(i) ?? true));
  }

  /** What every stretch leads to: the best of its ways, or all of them together. */
  private ahead(
    open: readonly boolean[],
    by: Weight,
    of: (totals: Float64Array) => number,
  ): Float64Array {
    const ahead = new Float64Array(open.length).fill(-Infinity);
    for (const i of this.order) if (open[i]) ahead[i] = of(totals(this.after(i), by, open, ahead));
    return ahead;
  }

  private after(from: number | null): Choices {
    const found = this.known.get(from) ?? this.choicesAfter(from);
    this.known.set(from, found);
    return found;
  }

  private choicesAfter(from: number | null): Choices {
    const { bars, stretches, score, rest, resting, begins } = this.task;
    const at = from === null ? 0 : stretches[from]!.end;
    if (at >= bars) return { next: [-1], share: new Float64Array(1), worth: new Float64Array(1) };
    const next: number[] = [];
    const scores: number[] = [];
    let left = this.task.mostRest ?? USUAL_REST;
    let start = at;
    for (; start < bars; start++) {
      for (const i of this.byStart.get(start) ?? []) {
        const value = score(from, i);
        if (value === -Infinity) continue;
        next.push(i);
        scores.push(value);
      }
      if (begins?.has(start)) break;
      if (!resting?.has(start) && left-- === 0) break;
    }
    if (from !== null && start >= bars) {
      next.push(-1);
      scores.push(rest);
    }
    const logs = logShares(scores);
    const times = (of: (s: Stretch) => number) =>
      logs.map((s, k) => s * (next[k]! < 0 ? bars - at : of(stretches[next[k]!]!) - at));
    const share = times(({ start }) => start + 1);
    const worth = times(({ end }) => end);
    return { next, share, worth };
  }
}

function totals(choices: Choices, by: Weight, open: readonly boolean[], ahead: Float64Array) {
  const { next } = choices;
  return choices[by].map((w, k) => {
    const to = next[k]!;
    return to < 0 ? w : open[to] ? w + ahead[to]! : -Infinity;
  });
}

function most(values: Float64Array): number {
  let top = -Infinity;
  for (const v of values) if (v > top) top = v;
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
