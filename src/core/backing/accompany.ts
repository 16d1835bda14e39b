import { type Phrase, TICKS_PER_QUARTER } from '../phrase/types';
import type { BackingParts } from '../sound/parts';
import { type PerformOptions, perform, secondsPerTick } from '../sound/perform';
import { toneOf } from '../sound/tone';
import { chordSign } from '../theory/chord';
import { makeBacking } from './backing';
import { type FormOptions, formOfPhrase } from './form';
import { ownRhythm } from './own-rhythm';
import { performBacking } from './perform-backing';
import type { BackingOptions } from './types';

export interface AccompanyTime extends FormOptions, Pick<PerformOptions, 'speed' | 'swing'> {}

/** The band under a phrase, on the clock of `perform(p, time)`. */
export function accompany(p: Phrase, band: BackingOptions, time: AccompanyTime = {}): BackingParts {
  const backing = makeBacking(formOfPhrase(p, time), band);
  const swing = time.swing ?? 'heard';
  return performBacking(backing, { secondsPerTick: secondsPerTick(p.tempo, time.speed), swing });
}

/** What is written beneath a phrase, on the clock of `perform(over, o)`, without a band around it. */
export function alongside(part: Phrase, over: Phrase, o: PerformOptions): BackingParts {
  const { instrument } = part;
  const { sounds } = perform({ ...part, tempo: over.tempo, feel: over.feel }, o);
  return { bass: null, comping: { instrument, tone: toneOf(part), sounds }, drums: [] };
}

/**
 * Over which chords a rhythm of one's own cannot be played, as they are written: there the comping rests. All of
 * them mean that the band comps by itself.
 */
export function whereItRests(
  p: Phrase,
  band: BackingOptions & { readonly rhythm: Phrase },
): { readonly over: readonly string[]; readonly all: boolean } {
  const { form, swing } = makeBacking(formOfPhrase(p), band);
  const filled = ownRhythm(form, band.rhythm, swing, secondsPerTick(p.tempo));
  const plays = new Set(filled.map((f) => f.span));
  const chords = form.chords.filter((c) => c.chord !== null);
  const rests = chords.filter((c) => !plays.has(c));
  return {
    over: [...new Set(rests.map((c) => chordSign(c.chord!)))],
    all: rests.length === chords.length,
  };
}

/** The feel that goes with a phrase where nobody said (common practice). */
export function usualFeel(
  p: Pick<Phrase, 'feel' | 'tempo' | 'bars' | 'key'>,
): BackingOptions['feel'] {
  const meter = p.bars[0]?.meter;
  if (meter !== undefined && meter.beatType === 8 && meter.beats % 3 === 0) return 'twelve-eight';
  const quarters = 60 / (secondsPerTick(p.tempo) * TICKS_PER_QUARTER);
  if (p.feel.kind === 'swing') {
    return p.key.mode === 'blues' && quarters < 150 ? 'shuffle' : 'swing';
  }
  return quarters < 75 ? 'ballad' : 'straight';
}
