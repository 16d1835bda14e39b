import type { Sound } from './use-ear';

export interface PartOfSound extends Sound {
  /** Seconds of the recording from which to which it is heard. */
  readonly from: number;
  readonly to: number;
}

/** A part of the recording, as samples. */
export function cutOf({ samples, rate, from, to }: PartOfSound): Float32Array {
  return samples.slice(Math.max(0, Math.floor(from * rate)), Math.ceil(to * rate));
}

/**
 * A part of the recording and the phrase on its time, one beside the other: samples of the two in turn, the
 * phrase as loud as the recording. One file has both, so that they cannot drift apart at any speed.
 * @param begin Seconds of the recording at which the phrase begins as it is written.
 */
export function sideBySide(
  part: PartOfSound,
  phrase: Float32Array,
  begin: number,
): Float32Array<ArrayBuffer> {
  const cut = cutOf(part);
  const first = Math.max(0, Math.floor(part.from * part.rate));
  const late = Math.round(begin * part.rate) - first;
  const heard = phrase.subarray(Math.max(0, -late), Math.max(0, cut.length - late));
  const level = loudness(cut) / Math.max(1e-6, loudness(heard));
  const out = new Float32Array(2 * cut.length);
  for (let i = 0; i < cut.length; i++) {
    out[2 * i] = cut[i]!;
    out[2 * i + 1] = Math.max(-1, Math.min(1, (phrase[i - late] ?? 0) * level));
  }
  return out;
}

function loudness(x: Float32Array): number {
  let sum = 0;
  for (const v of x) sum += v * v;
  return Math.sqrt(sum / Math.max(1, x.length));
}
