import type { Phrase } from '../phrase/types';

/** Whether a phrase is one to accompany with: most of what it strikes has two strings or more. */
export function isRhythm(p: Phrase): boolean {
  const struck = p.voices.flatMap((v) => v.events.filter((e) => e.notes.length > 0));
  return 2 * struck.filter((e) => e.notes.length > 1).length > struck.length;
}
