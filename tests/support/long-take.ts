import type { Phrase } from '../../src/core/phrase/types';
import { renderPhrase } from '../../src/sound/render';
import { playedPhrase } from './played-phrase';

const BPM = 100;
/** Seconds of rest after each phrase. */
const REST = 1.2;

/** A player who goes on for so many minutes: phrases of one tempo with rests between them, from a seed on. */
export function longTake(minutes: number, rate: number, seed = 720_000): Float32Array {
  const out = new Float32Array(Math.round(minutes * 60 * rate));
  let at = 0;
  for (let i = seed; at < out.length; i++) {
    const sound = renderPhrase(steady(playedPhrase(i)), { rate, tail: REST });
    out.set(sound.subarray(0, out.length - at), at);
    at += sound.length;
  }
  return out;
}

function steady(p: Phrase): Phrase {
  return { ...p, tempo: { bpm: BPM, unit: 'quarter' } };
}
