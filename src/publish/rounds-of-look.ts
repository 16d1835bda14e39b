import type { Phrase } from '../core/phrase/types';
import { type Round, type RoundsOptions, roundsOf } from '../core/practice/rounds';
import { formatProblem } from '../core/result';
import type { PerformOptions } from '../core/sound/perform';
import type { Look } from './format';

/** Who plays along. */
function bandOfLook({ backing, seed, comping }: Look): Pick<RoundsOptions, 'band'> {
  if (backing === 'none') return {};
  return { band: { feel: backing, seed, ...(comping === null ? {} : { rhythm: comping }) } };
}

/** How what is written sounds. */
export function performedByLook(look: Look): PerformOptions {
  return { speed: look.speed / 100, swing: look.swing };
}

/**
 * What a file of MIDI or sound holds.
 * @throws RangeError where no round can be played; whoever lets rounds be typed asks `takesOf` before.
 */
export function roundsOfLook(phrase: Phrase, look: Look): readonly Round[] {
  const made = roundsOf(phrase, {
    ...performedByLook(look),
    cycle: look.rounds,
    ...bandOfLook(look),
    ...(look.beneath === null ? {} : { beneath: look.beneath }),
  });
  if (!made.ok) throw new RangeError(made.problems.map(formatProblem).join('; '));
  return made.value;
}
