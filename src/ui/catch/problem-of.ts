import type { Problem } from '../../core/result';

/** What was thrown, as a problem: its sentences, of which the last gets its full stop where it is told. */
export function problemOf(e: unknown): Problem {
  const words = e instanceof Error ? e.message : String(e);
  return { message: words.replace(/\.$/u, '') };
}
