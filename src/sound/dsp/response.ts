import { fft } from './fft';

/** Third octaves from 62.5 Hz to 10 kHz; a response is given by a level in decibels at each. */
export const THIRDS = 23;
const LOWEST = 62.5;
const SIZE = 4096;

/**
 * A short response with given levels at third octaves and minimum phase, so that it comes at once:
 * the body of an instrument, or a loudspeaker. By the cepstrum (Oppenheim & Schafer, Discrete-Time
 * Signal Processing, homomorphic processing).
 * @param levels Decibels at the third octaves from 62.5 Hz; held beyond both ends.
 * @param rate Samples a second.
 * @param taps Length in samples; the last quarter is faded out.
 */
export function responseOf(levels: readonly number[], rate: number, taps = 512): Float32Array {
  const re = new Float64Array(SIZE);
  const im = new Float64Array(SIZE);
  for (let k = 0; k <= SIZE / 2; k++) {
    const nepers = (levelAt(levels, (k * rate) / SIZE) * Math.LN10) / 20;
    re[k] = nepers;
    re[(SIZE - k) % SIZE] = nepers;
  }
  fft(re, im);
  for (let i = 0; i < SIZE; i++) {
    const fold = i === 0 || i === SIZE / 2 ? 1 : i < SIZE / 2 ? 2 : 0;
    re[i] = (re[i]! / SIZE) * fold;
    im[i] = 0;
  }
  fft(re, im);
  for (let i = 0; i < SIZE; i++) {
    const size = Math.exp(re[i]!);
    const phase = im[i]!;
    re[i] = size * Math.cos(phase);
    im[i] = -size * Math.sin(phase);
  }
  fft(re, im);
  const response = new Float32Array(taps);
  const fade = Math.floor(taps * 0.75);
  for (let i = 0; i < taps; i++) {
    const window = i < fade ? 1 : 0.5 + 0.5 * Math.cos((Math.PI * (i - fade)) / (taps - fade));
    response[i] = (re[i]! / SIZE) * window;
  }
  return response;
}

function levelAt(levels: readonly number[], hertz: number): number {
  const x = 3 * Math.log2(Math.max(30, hertz) / LOWEST);
  const at = Math.max(0, Math.min(levels.length - 1, x));
  const i = Math.min(levels.length - 2, Math.floor(at));
  return levels[i]! + (at - i) * (levels[i + 1]! - levels[i]!);
}
