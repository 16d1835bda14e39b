import type { Problem } from '../../core/result';

/** Most bytes of a file that is no library. */
export const MOST_BYTES = 128 * 1024 * 1024;

/** What is said of a file with more than `MOST_BYTES`; whoever knows the size says it before anything is read. */
export function tooLarge(bytes: number): Problem {
  return {
    message: `the file has ${mega(bytes)} MB, and at most ${mega(MOST_BYTES)} are read of one that is no library`,
    fix: 'Split it into several files, or check whether it is what you meant to open.',
  };
}

function mega(bytes: number): number {
  return Math.ceil(bytes / 1e6);
}
