import type { Result } from '../../core/result';
import { layOf } from './asked';
import type { SoloMade } from './solo-worker';

/** One of several choruses. */
export interface Drawn {
  /** What `Bench.seed` is for it: 0 is the best. */
  readonly seed: number;
  readonly made: SoloMade;
}

/** Choruses that are being made one after the other, each unlike those before. */
export interface Several {
  readonly found: readonly Drawn[];
  /** So many are wanted in all. */
  readonly wanted: number;
  /** The seed that is tried next. */
  readonly next: number;
  /** Seeds in a row that brought nothing new. */
  readonly missed: number;
  /** Why there is none; null where there are, or may be. */
  readonly refused: Result<SoloMade> | null;
}

/** Nothing is there yet. */
export const noneYet = (wanted: number): Several => ({
  ...{ found: [], wanted, next: 0, missed: 0, refused: null },
});

/** So many draws in a row without a new chorus, and there is taken to be none (*ours*). */
const MOST_MISSED = 12;

/** Whether one more is to be made. */
export const goesOn = ({ found, wanted, missed, refused }: Several): boolean =>
  refused === null && found.length < wanted && missed < MOST_MISSED;

/** With what came of the seed that was next. */
export function withNext(s: Several, made: Result<SoloMade>): Several {
  const next = s.next + 1;
  if (!made.ok) {
    // What is refused for one is refused for all, but a draw may find no way where the best one did.
    return s.found.length === 0
      ? { ...s, next, refused: made }
      : { ...s, next, missed: s.missed + 1 };
  }
  const lay = layOf(made.value);
  if (made.value.phrase === null || s.found.some((d) => layOf(d.made) === lay)) {
    return { ...s, next, missed: s.missed + 1 };
  }
  return { ...s, next, missed: 0, found: [...s.found, { seed: s.next, made: made.value }] };
}

/** With so many more wanted. */
export const withMore = (s: Several, more: number): Several => ({
  ...s,
  wanted: s.found.length + more,
  missed: 0,
});

/** No more is made; what was found stays. */
export const stopped = (s: Several): Several => ({ ...s, wanted: s.found.length });
