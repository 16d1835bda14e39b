import {
  earlierScore,
  joinFeatures,
  joinScore,
  newTones,
  type ShapeFeatures,
  shapeFeatures,
} from '../joins/join';
import type { Sketch } from '../joins/sketch';
import { standingScore } from '../joins/standing';
import { restScore, startScore } from '../joins/usual';
import { AFTER_TWO_WEIGHTS, type JoinFeatures } from '../joins/weights';
import { beatTicks } from '../phrase/time';
import type { Ticks } from '../phrase/types';
import type { Sketched } from './placer';
import { tasteOf } from './taste';
import type { SoloTask } from './types';
import { writtenScore } from './written';

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

/** What each leap costs that its line did not have, two at most; as much as from a random join to a real one (*ours*). */
const TORN = 1.5;

/** What a phrase counts in its place before anything is said of what is around it: roles kept, octaves off, leaps. */
export function aloneScore({
  suits,
  octaves,
  torn,
}: Pick<Sketched, 'suits' | 'octaves' | 'torn'>): number {
  return SUITS * suits - Math.abs(octaves) - tornScore(torn);
}

const tornScore = (torn: number) => TORN * Math.min(2, torn);

/** What a phrase counts that begins before the last has ended, where both were put there. */
const CUTS = 2;

/** What it costs to end a form on what is no tone of its last chord; as much as from a random join to a real one (*ours*). */
const HANGS = 1.5;

/** What two lines are to each other so many octaves apart. */
interface Apart {
  readonly one: number;
  /** With two before: without what hangs on the earlier of them. */
  readonly two: number;
  readonly alike: number;
}

/** What two lines are to each other, wherever they stand: a phrase sounds the same over the same chords, in whatever bars. */
interface Together {
  readonly shape: ShapeFeatures;
  readonly stands: number;
  /** By the octaves between them, `SHIFTS` of them. */
  readonly apart: (Apart | undefined)[];
}

/** Octaves between the lowest place of a phrase and the highest (`Placer`), either way. */
const SHIFTS = 5;

/** How well candidates follow each other; each join is reckoned once. */
export class Scores {
  /** Which line each candidate is: those that have one share what is known of it. */
  private readonly lines: Int32Array;
  /** So many of them. */
  private readonly different: number;
  private readonly together: (Together | undefined)[][] = [];
  /** What each counts for keeping its roles, for where in the bar it begins, and for what it was written for. */
  private readonly own: Float64Array;
  /** What each counts after another with two before, without the earlier; NaN where it is not reckoned. */
  private readonly two: (Float64Array | undefined)[] = [];
  /** What each takes from another that is the earlier of two before it; NaN where it is not reckoned. */
  private readonly taken: (Float64Array | undefined)[] = [];

  private readonly beat: Ticks;
  /** Bars from 0 that stay empty on purpose. */
  private readonly resting: ReadonlySet<number>;

  /**
   * @param all What could stand anywhere; joins name them by their places in it.
   * @param pinned What may also follow itself, and what ends after it begins.
   */
  constructor(
    private readonly task: SoloTask,
    private readonly all: readonly Sketched[],
    private readonly pinned: ReadonlySet<Sketched>,
  ) {
    this.beat = beatTicks(task.form.form.meter);
    const { pins = [] } = task.options;
    this.resting = new Set(pins.flatMap((p) => (p.index === null ? [p.start] : [])));
    const numbers = new Map<Sketch, number>();
    this.lines = Int32Array.from(all, ({ sketch }) => {
      const number = numbers.get(sketch) ?? numbers.size;
      numbers.set(sketch, number);
      return number;
    });
    this.different = numbers.size;
    this.own = Float64Array.from(
      all,
      (c) =>
        SUITS * c.suits - tornScore(c.torn) + this.begins(c) + this.written(c) + this.closes(c),
    );
  }

  of(before: number | null, next: number): number {
    if (before === null) return this.first(this.all[next]!);
    if (!this.follows(before, next)) return Number.NEGATIVE_INFINITY;
    const pair = this.pairOf(before, next);
    const apart = this.apart(pair, before, next);
    return apart.one + this.beside(pair, apart, before, next);
  }

  /** The same where the phrase before the one before is looked at as well. */
  afterTwo(earlier: number, before: number): (next: number) => number {
    this.two[before] ??= new Float64Array(this.all.length).fill(Number.NaN);
    this.taken[earlier] ??= new Float64Array(this.all.length).fill(Number.NaN);
    const two = this.two[before];
    const taken = this.taken[earlier];
    const [a, b] = [this.all[earlier]!.sketch, this.all[before]!.sketch];
    return (next) => {
      if (Number.isNaN(two[next])) two[next] = this.withTwo(before, next);
      if (Number.isNaN(taken[next])) taken[next] = this.fromEarlier(earlier, next);
      const fresh = newTones(b, a, this.all[next]!.sketch, 0);
      return two[next]! + taken[next]! + AFTER_TWO_WEIGHTS.newTones * fresh;
    };
  }

  private withTwo(before: number, next: number): number {
    if (!this.follows(before, next)) return Number.NEGATIVE_INFINITY;
    const pair = this.pairOf(before, next);
    const apart = this.apart(pair, before, next);
    return apart.two + this.beside(pair, apart, before, next);
  }

  private fromEarlier(earlier: number, next: number): number {
    const [a, b] = [this.all[earlier]!, this.all[next]!];
    // A phrase that comes back quotes nobody: its merit would be as great as it can be.
    return a.index === b.index ? 0 : earlierScore(a.sketch, b.sketch, semitonesTo(a, b));
  }

  private first(next: Sketched): number {
    // A solo begins where its phrase lies by itself.
    const empty = BAR_OF_REST * this.emptyBetween(0, next.start);
    const own = aloneScore(next) + this.begins(next) + this.written(next) + this.closes(next);
    return own - empty + this.taste(null, next, 0, 0);
  }

  private written({ index }: Sketched): number {
    return writtenScore(this.task.phrases[index]!, this.task.form.form);
  }

  /** Where the form ends something is at rest, or the whole chorus hangs in the air. */
  private closes({ end, standing }: Sketched): number {
    return end < this.task.form.bars.length || standing.endsOnTone ? 0 : -HANGS;
  }

  private begins(next: Sketched): number {
    return startScore(next.from, this.task.form.form.meter);
  }

  /** Whether one may come behind another. */
  private follows(before: number, next: number): boolean {
    const [a, b] = [this.all[before]!, this.all[next]!];
    if (b.from >= a.until && a.index !== b.index) return true;
    return this.pinned.has(a) && this.pinned.has(b);
  }

  /** What it counts after another beside what their lines are to each other. */
  private beside({ stands }: Together, { alike }: Apart, before: number, next: number): number {
    const [a, b] = [this.all[before]!, this.all[next]!];
    const beats = (b.from - a.until) / this.beat;
    // A bar that is left empty is a long rest already.
    const empty = BAR_OF_REST * this.emptyBetween(a.end, b.start);
    const waits = empty > 0 ? -empty : restScore(beats);
    const cuts = beats < 0 ? CUTS : 0;
    return this.own[next]! + waits - cuts + this.taste(a, b, alike, beats) + stands;
  }

  private pairOf(before: number, next: number): Together {
    this.together[this.lines[before]!] ??= Array(this.different).fill(undefined);
    const row = this.together[this.lines[before]!]!;
    const line = this.lines[next]!;
    let pair = row[line];
    if (pair === undefined) {
      const [a, b] = [this.all[before]!, this.all[next]!];
      pair = {
        shape: shapeFeatures(a.sketch, b.sketch),
        stands: standingScore(a.standing, b.standing),
        apart: Array(SHIFTS).fill(undefined),
      };
      row[line] = pair;
    }
    return pair;
  }

  private apart({ apart, shape }: Together, before: number, next: number): Apart {
    const [a, b] = [this.all[before]!, this.all[next]!];
    const at = b.octaves - a.octaves + 2;
    let found = apart[at];
    if (found === undefined) {
      const features = joinFeatures(a.sketch, b.sketch, semitonesTo(a, b), null, 0, shape);
      found = {
        one: joinScore(features),
        two: joinScore(features, AFTER_TWO_WEIGHTS, 0),
        alike: (features.echo + features.figures + features.pitches) / 3,
      };
      apart[at] = found;
    }
    return found;
  }

  /** Bars that stay empty though nobody wants them so. */
  private emptyBetween(from: number, to: number): number {
    let n = 0;
    for (let bar = from; bar < to; bar++) if (!this.resting.has(bar)) n++;
    return n;
  }

  private taste(before: Sketched | null, next: Sketched, alike: number, beats: number): number {
    const { form, phrases, options } = this.task;
    if (options.taste === undefined) return 0;
    const { length } = form.bars;
    return tasteOf(options.taste, { before, next, alike, beats, bars: length, phrases });
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
