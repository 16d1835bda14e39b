import { joinFeatures, joinScore } from '../joins/join';
import type { JoinFeatures } from '../joins/weights';
import { beatTicks } from '../phrase/time';
import type { Ticks } from '../phrase/types';
import type { Sketched } from './placer';
import { tasteOf } from './taste';
import type { SoloTask } from './types';

/** What an empty bar counts, on the scale of `joinScore`: a little more than the median join of real solos. */
export const EMPTY_BAR = -0.1;

/** What keeping every role counts, on the same scale. */
const SUITS = 2;

/** Half a beat is the shortest rest in real solos; longer than four beats are rare (5% and 90%). */
const SHORTEST_REST = 0.5;
const LONG_REST = 4;

/** What each bar counts that stays empty between two phrases: rests that long are one in twenty, so −log 0.05. */
const BAR_OF_REST = 3;

/** What a phrase counts that begins before the last has ended, where both were put there. */
const CUTS = 2;

/** How well candidates follow each other; each join is reckoned once. */
export class Scores {
  private readonly known = new Map<Sketched | null, Map<Sketched, number>>();

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
    const row = this.known.get(before) ?? new Map<Sketched, number>();
    this.known.set(before, row);
    const known = row.get(next);
    if (known !== undefined) return known;
    const score = this.reckon(before, next);
    row.set(next, score);
    return score;
  }

  private reckon(before: Sketched | null, next: Sketched): number {
    const suits = SUITS * next.suits;
    // A solo begins where its phrase lies by itself.
    const empty = BAR_OF_REST * this.emptyBetween(before?.end ?? 0, next.start);
    if (before === null) {
      return suits - empty - Math.abs(next.octaves) + this.taste(null, next, null, 0);
    }
    const beats = (next.from - before.until) / this.beat;
    const put = this.pinned.has(before) && this.pinned.has(next);
    if (!put && (beats < 0 || before.index === next.index)) return Number.NEGATIVE_INFINITY;
    // A bar that is left empty is a long rest already.
    const long = empty > 0 ? empty : 0.5 * Math.max(0, beats - LONG_REST);
    const rest = long + (beats < SHORTEST_REST ? 0.5 : 0);
    const cuts = beats < 0 ? CUTS : 0;
    const features = featuresOf(before, next);
    const taste = this.taste(before, next, features, beats);
    return joinScore(features) + suits - rest - cuts + taste;
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

/** What joins two laid phrases, with the octaves between them counted in. */
export function featuresOf(before: Sketched, next: Sketched): JoinFeatures {
  return joinFeatures(before.sketch, next.sketch, 12 * (next.octaves - before.octaves));
}
