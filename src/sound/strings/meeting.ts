/** How a push is given to a string that moves already. */
export interface Meeting {
  /** Upwards or downwards. */
  readonly sign: 1 | -1;
  /** Whole samples that it waits. */
  readonly wait: number;
}

/**
 * The push whose lowest partial agrees best with the string's, of all that wait no longer than they may.
 * @param until Samples until the two agree, from 0 to less than a period; half a period sooner or later they
 *   do so the other way.
 * @param longest Whole samples that it may wait.
 */
export function meeting(until: number, period: number, longest: number): Meeting {
  const half = period / 2;
  const rest = until % half;
  const usual = until < half ? 1 : -1;
  // On low strings half a period is longer than the wait: at once, the other way, may then be nearer.
  if (half - rest < rest - longest) return { sign: usual === 1 ? -1 : 1, wait: 0 };
  return { sign: usual, wait: Math.min(Math.round(rest), longest) };
}
