import { playableFrets } from '../../../src/core/phrase/instrument';
import type { Phrase, Voice } from '../../../src/core/phrase/types';
import { Dice, STREAM } from './dice';
import { type Feature, type PhraseOptions, type Recipe, recipeOf } from './features';
import { type Frame, makeFrame, makeMarks } from './frame';
import type { Hand } from './hand';
import { makeVoice } from './notes';
import { makeRhythm } from './rhythm';

/**
 * A valid and musically plausible phrase; the same seed and options give the same phrase.
 * @param seed any whole number.
 */
export function seededPhrase(seed: number, options: PhraseOptions = {}): Phrase {
  const r = recipeOf(seed, options);
  const dice = (stream: number) => new Dice(seed, stream);
  const frame = makeFrame(r, dice);
  return {
    format: 'degreewise-phrase',
    version: 5,
    id: `generated-${seed}`,
    parent: seed % 5 === 0 ? 'generated-parent' : null,
    ...frame,
    voices: makeVoices(r, frame),
    marks: r.has('marks') ? makeMarks(dice(STREAM.marks), frame) : [],
  };
}

function makeVoices(r: Recipe, frame: Frame): [Voice] | [Voice, Voice] {
  const d = new Dice(r.seed, STREAM.hand);
  const count = frame.instrument.tuning.length;
  const all = Array.from({ length: count }, (_, i) => i + 1);
  const position = d.int(1, Math.max(1, playableFrets(frame.instrument) - 5));
  const two = d.chance(0.25) && r.has('second voice');
  const drone = d.chance(0.6);
  const lower = drone ? [d.pick(all.slice(-3))] : all.slice(-2);
  const rhythm = { tuplets: r.has('tuplets'), fine: r.has('fine rhythm') };
  const ids = { next: 1 };
  const first: Hand = {
    recipe: r,
    frame,
    strings: two ? all.filter((s) => !lower.includes(s)) : all,
    still: two || d.chance(0.3),
    open: false,
    most: two ? 2 : 6,
    salt: STREAM.firstEvents,
    position,
    ids,
  };
  const line = makeRhythm(new Dice(r.seed, STREAM.first), frame, { ...rhythm, calm: 0.1 });
  const melody = makeVoice(line, first);
  if (!two) return [melody];
  const second: Hand = {
    ...first,
    recipe: drone ? { ...r, has: (f) => DRONE_FEATURES.includes(f) && r.has(f) } : r,
    strings: lower,
    still: true,
    open: drone,
    most: 1,
    salt: STREAM.secondEvents,
    position,
  };
  const slow = makeRhythm(new Dice(r.seed, STREAM.second), frame, { ...rhythm, calm: 0.7 });
  return [melody, makeVoice(slow, second)];
}

/** What an open string sounding under a line may carry. */
const DRONE_FEATURES: readonly Feature[] = ['let ring', 'fingers', 'anchors', 'tuplets'];
