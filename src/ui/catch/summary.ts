import { typesetText } from '../../io/text/signs';
import type { CaughtTake } from './messages';

/** What was found of all that was caught, in one line. */
export function summary(take: CaughtTake): string {
  const { phrases, bpm, bpmFound, toClock, bpmBefore, fits, key, keyFound, feel, meter } = take;
  const count = `${phrases.length} ${phrases.length === 1 ? 'phrase' : 'phrases'}`;
  const tempo = `${bpm} beats a minute${bpmFound ? ' (found)' : toClock ? ' in the bars that it was played to' : ''}`;
  const earlier = bpmBefore === null ? '' : ` (${bpmBefore} before that, found)`;
  const bars =
    meter.beats === 4 && meter.beatType === 4 ? '' : ` in ${meter.beats}/${meter.beatType}`;
  const doubt = fits ? '' : ' The beat does not fit well: say the tempo above.';
  const name = `${typesetText(key)}${keyFound ? ' (guessed)' : ''}`;
  return `${count}, ${tempo}${bars}${earlier}, key of ${name}${feel === '' ? '' : `, ${feel}`}.${doubt}`;
}
