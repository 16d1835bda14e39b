import { fft } from '../../../src/sound/dsp/fft';

/** Samples a second of everything that is compared. */
export const RATE = 44_100;

/** Cells of a spectrogram by frame and band, powers. */
export interface Cells {
  readonly cells: Float32Array;
  readonly frames: number;
  readonly bands: number;
  /** Samples from one frame to the next; frame k is centred on sample k · hop. */
  readonly hop: number;
}

export const decibels = (power: number) => 10 * Math.log10(power + 1e-14);

const windows = new Map<number, Float64Array>();

/** A Hann window. */
export function windowOf(size: number): Float64Array {
  const known =
    windows.get(size) ??
    Float64Array.from(
      { length: size },
      (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size),
    );
  windows.set(size, known);
  return known;
}

/** Power of every bin around sample `centre`, into `power` (size/2 + 1 values). */
export function powerAt(x: Float32Array, centre: number, size: number, power: Float64Array): void {
  const w = windowOf(size);
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const from = centre - size / 2;
  for (let i = 0; i < size; i++) re[i] = (x[from + i] ?? 0) * w[i]!;
  fft(re, im);
  for (let k = 0; k <= size / 2; k++) power[k] = (re[k]! ** 2 + im[k]! ** 2) / (0.375 * size);
}

/** Calls `take` with every frame's powers; two frames go through one transform. */
export function eachFrame(
  x: Float32Array,
  size: number,
  hop: number,
  take: (frame: number, power: Float64Array) => void,
): number {
  const w = windowOf(size);
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const one = new Float64Array(size / 2 + 1);
  const two = new Float64Array(size / 2 + 1);
  const frames = Math.ceil(x.length / hop);
  const scale = 1 / (0.375 * size);
  for (let k = 0; k < frames; k += 2) {
    const from = k * hop - size / 2;
    for (let i = 0; i < size; i++) {
      re[i] = (x[from + i] ?? 0) * w[i]!;
      im[i] = (x[from + i + hop] ?? 0) * w[i]!;
    }
    fft(re, im);
    for (let i = 0; i <= size / 2; i++) {
      const j = (size - i) % size;
      const a = (re[i]! + re[j]!) / 2;
      const b = (im[i]! - im[j]!) / 2;
      const c = (im[i]! + im[j]!) / 2;
      const d = (re[j]! - re[i]!) / 2;
      one[i] = (a * a + b * b) * scale;
      two[i] = (c * c + d * d) * scale;
    }
    take(k, one);
    if (k + 1 < frames) take(k + 1, two);
  }
  return frames;
}

/** Mel bands from 60 Hz to 11 kHz at three resolutions: window, hop, bands. */
const RESOLUTIONS = [
  [512, 128, 32],
  [2048, 256, 64],
  [4096, 512, 96],
] as const;
const mel = (f: number) => 2595 * Math.log10(1 + f / 700);
const hertz = (m: number) => 700 * (10 ** (m / 2595) - 1);

interface MelBand {
  readonly first: number;
  readonly weights: readonly number[];
  readonly hertz: number;
}

const BANKS: readonly (readonly MelBand[])[] = RESOLUTIONS.map(([size, , bands]) => {
  const edge = (i: number) =>
    (hertz(mel(60) + ((mel(11_000) - mel(60)) * i) / (bands + 1)) / RATE) * size;
  return Array.from({ length: bands }, (_, b) => {
    const centre = edge(b + 1);
    const low = Math.min(edge(b), centre - 1);
    const high = Math.max(edge(b + 2), centre + 1);
    const first = Math.max(1, Math.ceil(low));
    const weights: number[] = [];
    for (let k = first; k < high; k++) {
      weights.push(k < centre ? (k - low) / (centre - low) : (high - k) / (high - centre));
    }
    return { first, weights, hertz: (centre * RATE) / size };
  });
});

/** Middle of every mel band in hertz, by resolution. */
export const BAND_HERTZ = BANKS.map((bank) => bank.map((b) => b.hertz));

/** Mel spectrograms at the three resolutions. */
export function melCells(x: Float32Array): readonly Cells[] {
  return RESOLUTIONS.map(([size, hop, bands], r) => {
    const cells = new Float32Array(Math.ceil(x.length / hop) * bands);
    const frames = eachFrame(x, size, hop, (k, power) => {
      BANKS[r]!.forEach(({ first, weights }, b) => {
        let sum = 0;
        for (let i = 0; i < weights.length; i++) sum += weights[i]! * power[first + i]!;
        cells[k * bands + b] = sum;
      });
    });
    return { cells, frames, bands, hop };
  });
}

/** Third-semitone bands from 80 Hz to 5 kHz, window 186 ms: they catch noise and wrong partials. */
const FINE = Array.from({ length: 215 }, (_, i) => 80 * 2 ** (i / 36));

export function fineCells(x: Float32Array): Cells {
  const size = 8192;
  const hop = 1024;
  const bands = FINE.length;
  const cells = new Float32Array(Math.ceil(x.length / hop) * bands);
  const frames = eachFrame(x, size, hop, (k, power) => {
    FINE.forEach((f, b) => {
      const low = (f * 2 ** (-1 / 72) * size) / RATE;
      const high = (f * 2 ** (1 / 72) * size) / RATE;
      let sum = 0;
      let count = 0;
      for (let q = Math.ceil(low); q <= high; q++, count++) sum += power[q]!;
      if (count === 0) {
        const q = Math.floor(low);
        const part = (low + high) / 2 - q;
        sum = (1 - part) * power[q]! + part * power[q + 1]!;
        count = 1;
      }
      cells[k * bands + b] = sum / count;
    });
  });
  return { cells, frames, bands, hop };
}

/** The 3rd percentile of every band: added to a rendering, so that the recording's hiss is nobody's fault. */
export function background({ cells, frames, bands }: Cells): Float32Array {
  return Float32Array.from({ length: bands }, (_, b) => {
    const values = Array.from({ length: frames }, (_x, k) => cells[k * bands + b]!);
    values.sort((p, q) => p - q);
    return values[Math.floor(frames * 0.03)]!;
  });
}
