import { earlierScore, joinFeatures, joinScore, newTones } from '../joins/join';
import type { Sketch } from '../joins/sketch';
import { standingScore } from '../joins/standing';
import { restScore, startScore } from '../joins/usual';
import { AFTER_TWO_WEIGHTS, type JoinFeatures } from '../joins/weights';
import { beatTicks } from '../phrase/time';
import type { Ticks } from '../phrase/types';
import type { Sketched } from './placer';
import { tasteOf } from './taste';
import type { SoloTask } from './types';

/** What an empty bar counts, on the scale of `joinScore`: a little more than the median join of real solos. */
export const EMPTY_BAR = -0.1;

/** The same where the phrase before the one before is looked at: the median is 0.65 there. */
export const EMPTY_BAR_AFTER_TWO = 0.8;

/**
 * What each bar costs that nobody wants empty, beside the shares: more than all other choices of a chorus differ by, so that
 * what is usual ranks ways which fill as many bars, and never leaves one empty that could be filled (*ours*: a teacher
 * who asks for a chorus would rather have an unusual rest).
 */
export const BAR_LEFT = 30;

/** What keeping every role counts, on the same scale. */
const SUITS = 2;

/** What each bar counts that stays empty between two phrases: rests that long are one in twenty, so −log 0.05. */
export const BAR_OF_REST = 3;

/** What a phrase counts in its place before anything is said of what is around it: roles kept, octaves off. */
export function aloneScore({ suits, octaves }: Pick<Sketched, 'suits' | 'octaves'>): number {
  return SUITS * suits - Math.abs(octaves);
}

/** What a phrase counts that begins before the last has ended, where both were put there. */
const CUTS = 2;

/** What two lines are to each other, wherever they stand. */
interface Together {
  readonly features: JoinFeatures;
  readonly one: number;
  /** With two before: without what hangs on the earlier of them. */
  readonly two: number;
  readonly stands: number;
}

/** Octaves between the lowest place of a phrase and the highest (`Placer`), either way. */
const SHIFTS = 5;

/** What hangs on the lines of two candidates and the octaves between them alone, reckoned once. */
class Pairs<T> {
  private readonly known = new Map<Sketch, Map<Sketch, T[]>>();
  /** Many are asked for with the same first one. */
  private last: { readonly sketch: Sketch; readonly row: Map<Sketch, T[]> } | null = null;

  constructor(private readonly reckon: (from: Sketched, to: Sketched) => T) {}

  of(from: Sketched, to: Sketched): T {
    const row = this.rowOf(from.sketch);
    let each = row.get(to.sketch);
    if (each === undefined) {
      each = Array(SHIFTS);
      row.set(to.sketch, each);
    }
    const at = to.octaves - from.octaves + 2;
    each[at] ??= this.reckon(from, to);
    return each[at];
  }

  private rowOf(sketch: Sketch): Map<Sketch, T[]> {
    if (this.last?.sketch === sketch) return this.last.row;
    const row = this.known.get(sketch) ?? new Map<Sketch, T[]>();
    this.known.set(sketch, row);
    this.last = { sketch, row };
    return row;
  }
}

/** How well candidates follow each other; each join is reckoned once. */
export class Scores {
  /** What each counts after another with two before (`Together.two`), where it was reckoned. */
  private readonly known = new Map<Sketched, Map<Sketched, number>>();
  private readonly earlier = new Pairs((a, b) =>
    earlierScore(a.sketch, b.sketch, semitonesTo(a, b)),
  );
  /** A phrase sounds the same over the same chords, in whatever bars. */
  private readonly together = new Pairs((a, b): Together => {
    const features = joinFeatures(a.sketch, b.sketch, semitonesTo(a, b));
    return {
      features,
      one: joinScore(features),
      two: joinScore({ ...features, newTones: 0 }, AFTER_TWO_WEIGHTS),
      stands: standingScore(a.standing, b.standing),
    };
  });

  private readonly beat: Ticks;
  /** Bars from 0 that stay empty on purpose. */
  private readonly resting: ReadonlySet<number>;

  /**
   * @param pinned What may also follow itself, and what ends after it begins.
   */
  constructor(
    private readonly task: SoloTask,
    private readonly pinned: ReadonlySet<Sketched>,
  ) {
    this.beat = beatTicks(task.form.form.meter);
    const { pins = [] } = task.options;
    this.resting = new Set(pins.flatMap((p) => (p.index === null ? [p.start] : [])));
  }

  of(before: Sketched | null, next: Sketched): number {
    return before === null ? this.first(next) : this.reckon(before, next, this.rowOf(before));
  }

  /** The same where the phrase before the one before is looked at as well. */
  afterTwo(earlier: Sketched, before: Sketched): (next: Sketched) => number {
    const row = this.rowOf(before);
    return (next) => {
      const fresh = newTones(before.sketch, earlier.sketch, next.sketch, 0);
      if (!row.has(next)) this.reckon(before, next, row);
      // A phrase that comes back quotes nobody: its merit would be as great as it can be.
      const taken = earlier.index === next.index ? 0 : this.earlier.of(earlier, next);
      return row.get(next)! + taken + AFTER_TWO_WEIGHTS.newTones * fresh;
    };
  }

  private rowOf(before: Sketched): Map<Sketched, number> {
    const row = this.known.get(before) ?? new Map<Sketched, number>();
    this.known.set(before, row);
    return row;
  }

  private first(next: Sketched): number {
    // A solo begins where its phrase lies by itself.
    const empty = BAR_OF_REST * this.emptyBetween(0, next.start);
    return aloneScore(next) - empty + this.begins(next) + this.taste(null, next, null, 0);
  }

  private begins(next: Sketched): number {
    return startScore(next.from, this.task.form.form.meter);
  }

  /** @param row Takes what it counts with two before. */
  private reckon(before: Sketched, next: Sketched, row: Map<Sketched, number>): number {
    const beats = (next.from - before.until) / this.beat;
    if (beats < 0 || before.index === next.index) {
      const put = this.pinned.has(before) && this.pinned.has(next);
      if (!put) {
        row.set(next, Number.NEGATIVE_INFINITY);
        return Number.NEGATIVE_INFINITY;
      }
    }
    const suits = SUITS * next.suits;
    // A bar that is left empty is a long rest already.
    const empty = BAR_OF_REST * this.emptyBetween(before.end, next.start);
    const waits = empty > 0 ? -empty : restScore(beats);
    const cuts = beats < 0 ? CUTS : 0;
    const { features, one, two, stands } = this.together.of(before, next);
    const taste = this.taste(before, next, features, beats);
    const beside = suits + this.begins(next) + waits - cuts + taste + stands;
    row.set(next, two + beside);
    return one + beside;
  }

  /** Bars that stay empty though nobody wants them so. */
  private emptyBetween(from: number, to: number): number {
    let n = 0;
    for (let bar = from; bar < to; bar++) if (!this.resting.has(bar)) n++;
    return n;
  }

  private taste(
    before: Sketched | null,
    next: Sketched,
    features: JoinFeatures | null,
    beats: number,
  ): number {
    const { form, phrases, options } = this.task;
    if (options.taste === undefined) return 0;
    const { length } = form.bars;
    return tasteOf(options.taste, { before, next, features, beats, bars: length, phrases });
  }
}

/** What joins laid phrases, with the octaves between them counted in. */
export function featuresOf(
  before: Sketched,
  next: Sketched,
  earlier: Sketched | null = null,
): JoinFeatures {
  const features = joinFeatures(
    before.sketch,
    next.sketch,
    semitonesTo(before, next),
    earlier?.sketch,
    earlier === null ? 0 : semitonesTo(earlier, next),
  );
  return earlier?.index === next.index
    ? { ...features, quotesEarlier: 0, figuresEarlier: 0, densityEarlier: 0, beginsAlike: 0 }
    : features;
}

const semitonesTo = (from: Sketched, to: Sketched) => 12 * (to.octaves - from.octaves);
