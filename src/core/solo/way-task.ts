/** A stretch of bars that something fills. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

/** A form, and what can fill it. */
export interface WayTask {
  /** Bars of the form. */
  readonly bars: number;
  readonly stretches: readonly Stretch[];
  /** How well a stretch follows another, or begins (null); −Infinity where it cannot. */
  readonly score: (before: number | null, next: number) => number;
  /** The same where the stretch before the one before is looked at as well; −Infinity where `score` is. */
  readonly scoreAfterTwo?: (earlier: number, before: number) => (next: number) => number;
  /** What it counts to leave the last bar empty, on the scale of the scores. */
  readonly rest: number;
  /** The same on the scale of `scoreAfterTwo`; as `rest` where absent. */
  readonly restAfterTwo?: number;
  /** What each bar costs that stays empty and was not to, beside the shares; default 0. */
  readonly emptyBar?: number;
  /** So many stretches a bar are looked at with two before; what bars with fewer leave goes to the others. Default 8. */
  readonly lookedAt?: number;
  /** Bars that may stay empty between two stretches, and before the end; default 1. */
  readonly mostRest?: number;
  /** Bars from 0 that stay empty on purpose: they do not count among those. */
  readonly resting?: ReadonlySet<number>;
  /** Bars from 0 that are not passed over: a stretch begins there. */
  readonly begins?: ReadonlySet<number>;
}
