import type { Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { checkPhrase } from '../../core/validity/check-phrase';
import { checkSize } from './size';
import { readStructure } from './structure';

/**
 * What keeps a phrase from being stored: bounds, structure, sense. Every reader ends with it, so that
 * what was read can be kept; empty for a phrase that can.
 */
export function checkStorable(phrase: Phrase): readonly Problem[] {
  const large = checkSize(phrase);
  if (large !== null) return [large];
  const read = readStructure({ ...phrase });
  return read.ok ? checkPhrase(phrase) : read.problems;
}
