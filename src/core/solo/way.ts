import { logShares } from '../joins/share';
import { type Bars, type Chain, type Choices, findWay, waysThrough, weighed } from './chain';
import { pairsOf } from './pairs';
import type { WayTask } from './way-task';

export interface WayWish {
  /** Which stretches may be taken; all where absent. Shares count the others as well. */
  readonly allowed?: (stretch: number) => boolean;
  /** Numbers from 0 up to 1, to draw a way in proportion to its likelihood; null for the best. */
  readonly draw: (() => number) | null;
}

/** How many bars may stay empty between two phrases where nobody says. */
const USUAL_REST = 1;

/** Joins that look at two before grow with the square of it (`README.md`). */
const LOOKED_AT = 8;

/**
 * Ways through a form from its first bar to its last: shortest paths over all stretches, exactly. Each
 * choice counts as the logarithm of its share among all that could be chosen there, times the bars
 * that it covers, less what bars cost that it leaves empty, so that few long phrases are not better than many short ones only because there
 * are fewer joins. A way that is drawn is as likely as its shares make it, one choice after the other: there
 * the bars that a phrase fills do not count, or a share of a third would be one of eighty over four bars, and
 * nearly every draw the best way; a bar left empty is a choice as well. What is not allowed keeps its share: the best of what is left is what would be the
 * best of all ways that have the given places, and how well one leads to a given place counts.
 *
 * Where a join looks at two before, ways go over pairs, exactly, of the stretches that lie on the best ways by
 * single joins, or on the likeliest where one is drawn; shares still count all that could follow.
 */
export class Ways {
  private readonly byStart = new Map<number, number[]>();
  private readonly known = new Map<number | null, Choices>();
  private readonly barred: readonly boolean[];
  private readonly singles: Chain;
  private readonly pairs: ReturnType<typeof pairsOf> | null;

  constructor(private readonly task: WayTask) {
    const { stretches, resting, begins } = task;
    for (const [i, s] of stretches.entries()) {
      const list = this.byStart.get(s.start) ?? [];
      list.push(i);
      this.byStart.set(s.start, list);
    }
    // Whatever ends last is settled first.
    const order = stretches
      .map((_, i) => i)
      .sort((a, b) => stretches[b]!.start - stretches[a]!.start);
    this.barred = stretches.map(({ start, end }) => {
      for (let bar = start; bar < end; bar++) {
        if (resting?.has(bar) || (bar > start && begins?.has(bar))) return true;
      }
      return false;
    });
    this.singles = { order, after: (from) => this.after(from) };
    this.pairs = pairsOf(task, this.singles, (at, next) => this.barsOf(at, next));
  }

  /** @returns The places of the chosen stretches in order, or null where no way leads through. */
  find({ allowed, draw }: WayWish): readonly number[] | null {
    const open = this.openTo(allowed);
    if (this.pairs === null) return findWay(this.singles, open, draw);
    const kept = this.likely(open, draw === null ? 'best' : 'all');
    const { chain, last } = this.pairs(kept);
    const way = findWay(chain, Array(last.length).fill(true), draw);
    // The likeliest of each bar need not lead to each other, where few are looked at.
    return way === null ? findWay(this.singles, open, draw) : way.map((pair) => last[pair]!);
  }

  /**
   * For every stretch the worth of the best of all ways that have it; −Infinity where none has. What
   * could stand in one place while the others are given is ranked by it.
   * @param keep Those that are looked at in any case where a join looks at two before; others may
   *   have −Infinity for not being looked at.
   */
  through(
    allowed?: (stretch: number) => boolean,
    keep?: (stretch: number) => boolean,
  ): Float64Array {
    const open = this.openTo(allowed);
    if (this.pairs === null) return waysThrough(this.singles, open, 'best');
    const { chain, last } = this.pairs(this.likely(open, 'best', keep));
    const through = new Float64Array(open.length).fill(-Infinity);
    const worths = waysThrough(chain, Array(last.length).fill(true), 'best');
    for (const [pair, i] of last.entries()) through[i] = Math.max(through[i]!, worths[pair]!);
    return through;
  }

  private openTo(allowed: ((stretch: number) => boolean) | undefined): readonly boolean[] {
    return this.barred.map((b, i) => !b && (allowed?.(i) ?? true));
  }

  /** Those that are looked at with two before: of each bar on which some begin so many. */
  private likely(
    open: readonly boolean[],
    of: 'best' | 'all',
    keep?: (stretch: number) => boolean,
  ): readonly boolean[] {
    const worth = waysThrough(this.singles, open, of);
    const rows = [...this.byStart.values()].map((row) =>
      row.filter((i) => worth[i]! > -Infinity).sort((i, j) => worth[j]! - worth[i]! || i - j),
    );
    const room = (this.task.lookedAt ?? LOOKED_AT) * rows.length;
    let each = 0;
    const taken = (n: number) => rows.reduce((sum, row) => sum + Math.min(n, row.length), 0);
    while (taken(each + 1) > taken(each) && taken(each + 1) <= room) each++;
    const kept: boolean[] = Array(open.length).fill(false);
    for (const row of rows) {
      for (const [k, i] of row.entries()) kept[i] = k < each || (keep?.(i) ?? false);
    }
    return kept;
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
    return weighed(next, logShares(scores), this.barsOf(at, next));
  }

  /** How often the share of each choice counts at a bar. */
  private barsOf(at: number, next: readonly number[]): Bars {
    const { bars, stretches } = this.task;
    const [share, worth] = [new Int32Array(next.length), new Int32Array(next.length)];
    const left = new Float64Array(next.length);
    for (const [k, i] of next.entries()) {
      const { start, end } = stretches[i] ?? { start: bars - 1, end: bars };
      share[k] = start + 1 - at;
      worth[k] = end - at;
      left[k] = this.costOf(at, stretches[i]?.start ?? bars);
    }
    return { share, worth, left };
  }

  /** Of bars that nothing fills. */
  private costOf(from: number, to: number): number {
    const { emptyBar = 0, resting } = this.task;
    let n = 0;
    for (let bar = from; bar < to; bar++) if (!resting?.has(bar)) n++;
    return emptyBar * n;
  }
}
