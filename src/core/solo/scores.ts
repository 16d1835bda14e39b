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

/** How well one follows another, by what is looked at. */
interface Known {
  readonly one: number;
  /** With two before: without what hangs on the earlier of them. */
  readonly two: number;
}

/** Octaves between the lowest place of a phrase and the highest (`Placer`), either way. */
const SHIFTS = 5;

/** What hangs on the lines of two candidates and the octaves between them alone, reckoned once. */
class Pairs<T> {
  private readonly known = new Map<Sketch, Map<Sketch, T[]>>();

  constructor(private readonly reckon: (a: Sketch, b: Sketch, semitones: number) => T) {}

  from(from: Sketched): (to: Sketched) => T {
    const row = this.known.get(from.sketch) ?? new Map<Sketch, T[]>();
    this.known.set(from.sketch, row);
    return (to) => {
      let each = row.get(to.sketch);
      if (each === undefined) {
        each = Array(SHIFTS);
        row.set(to.sketch, each);
      }
      const at = to.octaves - from.octaves + 2;
      each[at] ??= this.reckon(from.sketch, to.sketch, semitonesTo(from, to));
      return each[at];
    };
  }
}

/** How well candidates follow each other; each join is reckoned once. */
export class Scores {
  private readonly known = new Map<Sketched | null, Map<Sketched, Known>>();
  private readonly knownEarlier = new Pairs((a, b, shift) => earlierScore(a, b, shift));
  /** A phrase sounds the same over the same chords, in whatever bars. */
  private readonly knownFeatures = new Pairs((a, b, shift) => joinFeatures(a, b, shift));

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
    return this.knownOf(before, next).one;
  }

  /** The same where the phrase before the one before is looked at as well. */
  afterTwo(earlier: Sketched, before: Sketched): (next: Sketched) => number {
    const more = this.knownEarlier.from(earlier);
    const row = this.rowOf(before);
    return (next) => {
      const fresh = newTones(before.sketch, earlier.sketch, next.sketch, 0);
      const { two } = row.get(next) ?? this.knownOf(before, next);
      // A phrase that comes back quotes nobody: its merit would be as great as it can be.
      const taken = earlier.index === next.index ? 0 : more(next);
      return two + taken + AFTER_TWO_WEIGHTS.newTones * fresh;
    };
  }

  private knownOf(before: Sketched | null, next: Sketched): Known {
    const row = this.rowOf(before);
    const known = row.get(next);
    if (known !== undefined) return known;
    const score = this.reckon(before, next);
    row.set(next, score);
    return score;
  }

  private rowOf(before: Sketched | null): Map<Sketched, Known> {
    const row = this.known.get(before) ?? new Map<Sketched, Known>();
    this.known.set(before, row);
    return row;
  }

  private reckon(before: Sketched | null, next: Sketched): Known {
    const suits = SUITS * next.suits;
    // A solo begins where its phrase lies by itself.
    const empty = BAR_OF_REST * this.emptyBetween(before?.end ?? 0, next.start);
    const begins = startScore(next.from, this.task.form.form.meter);
    if (before === null) {
      const one = aloneScore(next) - empty + begins + this.taste(null, next, null, 0);
      return { one, two: one };
    }
    const beats = (next.from - before.until) / this.beat;
    const put = this.pinned.has(before) && this.pinned.has(next);
    if (!put && (beats < 0 || before.index === next.index)) {
      return { one: Number.NEGATIVE_INFINITY, two: Number.NEGATIVE_INFINITY };
    }
    // A bar that is left empty is a long rest already.
    const waits = empty > 0 ? -empty : restScore(beats);
    const cuts = beats < 0 ? CUTS : 0;
    const features = this.knownFeatures.from(before)(next);
    const taste = this.taste(before, next, features, beats);
    const stands = standingScore(before.standing, next.standing);
    const beside = suits + begins + waits - cuts + taste + stands;
    const two = joinScore({ ...features, newTones: 0 }, AFTER_TWO_WEIGHTS);
    return { one: joinScore(features) + beside, two: two + beside };
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
