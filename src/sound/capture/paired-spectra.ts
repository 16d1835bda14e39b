import { type Plan, planOf } from '../dsp/fft';
import { type Instance, instanceOf } from './instance';
import { SPECTRA_KERNEL } from './spectra-bytes';

/** Where the lines of a spectrum go: for each band the first line and the one behind the last, and all weights in turn. */
export interface Bands {
  readonly from: Int32Array;
  readonly weights: Float64Array;
}

/**
 * Fills the bands of two frames, of which the second begins `hop` samples after the first.
 * @param from The first sample; there are none before that of `x` and behind its last.
 */
export type PairedSpectra = (
  x: Float32Array,
  from: number,
  first: Float64Array,
  second: Float64Array,
) => void;

interface Exports extends Instance {
  gather(...o: number[]): void;
  twoStages(...o: number[]): void;
  lastStage(...o: number[]): void;
  lines(...o: number[]): void;
  bands(...o: number[]): void;
}

/** Bytes of what both frames have at one place. */
const BOTH = 16;

/**
 * Spectra of two frames at once, to the last bit what `RealFft` and plain sums give; null where WebAssembly with SIMD is not
 * to be had, or not allowed.
 * @param window As many values as samples, a power of two from 4.
 */
export function pairedSpectra(
  window: Float64Array,
  bands: Bands,
  hop: number,
): PairedSpectra | null {
  const e = instanceOf<Exports>(SPECTRA_KERNEL);
  if (e === null) return null;
  const size = window.length;
  const half = size / 2;
  const count = bands.from.length / 2;
  let top = 0;
  const room = (bytes: number) => {
    const place = top;
    top += Math.ceil(bytes / BOTH) * BOTH;
    return place;
  };
  const [seen, win, place] = [room(4 * (size + hop)), room(8 * size), room(4 * half)];
  const [cos, sin] = [room(4 * half), room(4 * half)];
  const [wideCos, wideSin] = [room(8 * half), room(8 * half)];
  const [from, weights] = [room(8 * count), room(8 * bands.weights.length)];
  const [re, im, lines] = [room(BOTH * half), room(BOTH * half), room(BOTH * (half + 1))];
  const sums = room(BOTH * count);
  e.memory.grow(Math.ceil(top / 65_536));
  const { buffer } = e.memory;
  const inside: Plan = planOf(half);
  const whole = planOf(size);
  new Float64Array(buffer, win, size).set(window);
  new Uint32Array(buffer, place, half).set(inside.place);
  new Float64Array(buffer, cos, half / 2).set(inside.cos);
  new Float64Array(buffer, sin, half / 2).set(inside.sin);
  new Float64Array(buffer, wideCos, half).set(whole.cos);
  new Float64Array(buffer, wideSin, half).set(whole.sin);
  new Int32Array(buffer, from, 2 * count).set(bands.from);
  new Float64Array(buffer, weights, bands.weights.length).set(bands.weights);
  const samples = new Float32Array(buffer, seen, size + hop);
  const out = new Float64Array(buffer, sums, 2 * count);
  return (x, begin, first, second) => {
    cutOut(x, begin, samples);
    e.gather(seen, hop, win, place, half, re, im);
    let done = 1;
    for (; 4 * done <= half; done *= 4) e.twoStages(re, im, half, done, cos, sin);
    if (done < half) e.lastStage(re, im, half, cos, sin);
    e.lines(re, im, half, wideCos, wideSin, lines);
    e.bands(from, weights, count, lines, sums);
    for (let b = 0; b < count; b++) {
      first[b] = out[2 * b]!;
      second[b] = out[2 * b + 1]!;
    }
  };
}

function cutOut(x: Float32Array, from: number, cut: Float32Array): void {
  const first = Math.min(cut.length, Math.max(0, -from));
  const end = Math.max(first, Math.min(cut.length, x.length - from));
  cut.fill(0, 0, first);
  if (end > first) cut.set(x.subarray(from + first, from + end), first);
  cut.fill(0, end);
}
