import type { Phrase } from '../core/phrase/types';
import { type Round, roundsOf } from '../core/practice/rounds';
import { formatProblem } from '../core/result';
import type { Look } from './format';

/**
 * What a file of MIDI or sound holds.
 * @throws RangeError where no round can be played; whoever lets rounds be typed asks `takesOf` before.
 */
export function roundsOfLook(phrase: Phrase, look: Look): readonly Round[] {
  const made = roundsOf(phrase, {
    speed: look.speed / 100,
    swing: look.swing,
    cycle: look.rounds,
    ...(look.backing === 'none' ? {} : { band: { feel: look.backing, seed: look.seed } }),
  });
  if (!made.ok) throw new RangeError(made.problems.map(formatProblem).join('; '));
  return made.value;
}
