import type { Phrase } from '../phrase/types';
import type { Problem } from '../result';
import { Findings } from './findings';
import { checkForm } from './form';
import { checkFrame } from './frame';
import { checkLane } from './lane';
import { checkNotes } from './notes';
import { checkParts } from './parts';
import { checkRhythm } from './rhythm';

/**
 * Everything that would make a structurally right phrase meaningless on the page, each with its
 * JSON pointer, bar and beat, and string where it has one; empty for a valid phrase. Lists at most
 * `MAX_PROBLEMS` and counts the rest; takes time linear in the length of the phrase.
 *
 * Whether a hand can play it (reach, fingers: N3) is no matter of validity: the fingering tells.
 * @example checkPhrase(phrase).map(formatProblem)
 */
export function checkPhrase(p: Phrase): readonly Problem[] {
  if (p.bars.length === 0) {
    return [{ message: 'the phrase has no bar', fix: 'Add at least one bar.', pointer: '/bars' }];
  }
  const out = new Findings(p);
  checkFrame(p, out);
  checkForm(p, out);
  checkLane(p, out);
  checkRhythm(p, out);
  checkNotes(p, out);
  checkParts(p, out);
  return out.problems();
}
