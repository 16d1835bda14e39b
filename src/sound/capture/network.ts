import { type Features, featuresOf } from './front-end';
import { KEPT_FREE, type Kernel, PANEL, plainKernel, simdKernel } from './kernel';
import {
  BINS,
  CHANNELS,
  DILATIONS,
  MIX_STEPS,
  MIXED,
  MIXES,
  OUTPUTS,
  PARTIALS,
  PITCHES,
  TENSORS,
  WEIGHT_BYTES,
} from './network-shape';

/**
 * What the network says of every pitch in every frame, sixteen values each: 0 onset, 1 sounding,
 * 2 offset from the semitone, 3 to 6 pluck, hammer-on, pull-off, slide, 7 to 10 bend, vibrato, slide,
 * muted, 11 to 15 the first to the fifth string, beside the sixth, whose logit is always 0. All are logits
 * but the offset, which is in semitones.
 */
export interface Posteriors {
  readonly frames: number;
  /** [frames][PITCHES][16] */
  readonly values: Float32Array;
  /** Logits of a stroke without pitch, one a frame. */
  readonly dead: Float32Array;
}

/** Frames computed at once, and those on both sides without which the edges would differ. */
const CHUNK = 1024;
export const MARGIN = 46;

/** A row above the highest and one below the lowest pitch stays zero. */
const ROWS = PITCHES + 2;
const PRE = Math.max(...DILATIONS) + 2;
/** Bins of a frame with room below and above, where partials reach out of it. */
const BELOW = 60;
const WIDE = BINS + 120;
/** Pitches with room on both sides for the steps at which a block looks. */
const MIX_ROOM = Math.max(...MIX_STEPS);
const MIX_ROWS = PITCHES + 2 * MIX_ROOM;

/**
 * The network of the capture model on plain typed arrays: about a billion multiplications a second of
 * sound. Every matrix lies in panels of sixteen outputs, [columns / 16][rows][16], padded with zeros.
 */
export class Network {
  private readonly kernel: Kernel;
  private readonly at = new Map<string, { readonly place: number; readonly rows: number }>();
  /** Three layers of values, the parts of the mix, the features and what comes out. */
  private readonly x: number;
  private readonly y: number;
  private readonly z: number;
  private readonly mix: number;
  private readonly seen: number;
  private readonly out: number;
  private readonly most: number;

  /**
   * @param weights The file of weights, WEIGHT_BYTES long.
   * @param o `plain` does without WebAssembly; `chunk` is the most frames to be computed at once.
   */
  constructor(weights: Uint8Array, o: { readonly plain?: boolean; readonly chunk?: number } = {}) {
    if (weights.byteLength !== WEIGHT_BYTES) {
      throw new Error(`the model has ${weights.byteLength} bytes and not ${WEIGHT_BYTES}`);
    }
    this.most = o.chunk ?? CHUNK;
    let top = KEPT_FREE;
    const reserve = (floats: number) => {
      const place = top;
      top += Math.ceil(floats / PANEL) * PANEL;
      return place;
    };
    for (const t of TENSORS) {
      const place = reserve(t.matrices * t.rows * paneled(t.columns));
      this.at.set(t.name, { place, rows: t.rows });
    }
    const frames = this.most + 2 * MARGIN;
    const layer = (frames + 2 * PRE) * ROWS * CHANNELS + PANEL;
    this.x = reserve(layer);
    this.y = reserve(layer);
    this.z = reserve(layer);
    this.mix = reserve(MIX_ROWS * PANEL * frames + 2 * PANEL);
    this.seen = reserve((frames + 4) * WIDE * 2 + PANEL);
    this.out = reserve((frames * ROWS + 1) * PANEL);
    this.kernel = (o.plain === true ? null : simdKernel(top)) ?? plainKernel(top);
    this.load(weights);
  }

  /** Which arithmetic it runs on. */
  get arithmetic(): Kernel['name'] {
    return this.kernel.name;
  }

  private load(weights: Uint8Array): void {
    const view = new DataView(weights.buffer, weights.byteOffset, weights.byteLength);
    const f = this.kernel.memory;
    let from = 0;
    for (const t of TENSORS) {
      const { place } = this.at.get(t.name)!;
      // Biases and the weights of the dead notes are read one by one, in their own order.
      const inPanels = t.name.endsWith('.w') && t.name !== 'dead.w';
      for (let m = 0; m < t.matrices; m++)
        for (let r = 0; r < t.rows; r++)
          for (let c = 0; c < t.columns; c++, from += 2) {
            const to = inPanels
              ? m * t.rows * paneled(t.columns) + (c >> 4) * t.rows * PANEL + r * PANEL + (c & 15)
              : r * t.columns + c;
            f[place + to] = halfFloat(view.getUint16(from, true));
          }
    }
  }

  /**
   * @param x Samples at RATE.
   * @param o `level` is the loud level to go by where it is known; `progress` is told the share done.
   */
  run(
    x: Float32Array,
    o: { readonly level?: number; readonly progress?: (share: number) => void } = {},
  ): Posteriors {
    return this.see(featuresOf(x, o.level), o.progress);
  }

  /** As `run`, from features. */
  see(features: Features, progress?: (share: number) => void): Posteriors {
    const { frames } = features;
    const values = new Float32Array(frames * PITCHES * PANEL);
    const dead = new Float32Array(frames);
    for (let t = 0; t < frames; t += this.most) {
      const first = Math.max(0, t - MARGIN);
      const end = Math.min(frames, t + this.most + MARGIN);
      const kept = Math.min(frames, t + this.most);
      this.chunk(features, first, end);
      for (let k = t; k < kept; k++) {
        const from = this.out + ((k - first) * ROWS + 1) * PANEL;
        values.set(this.kernel.memory.subarray(from, from + PITCHES * PANEL), k * PITCHES * PANEL);
      }
      this.deadNotes(dead, t, kept, first, end - first);
      progress?.(kept / frames);
    }
    return { frames, values, dead };
  }

  /** The middle of all pitches, five frames of it: strokes without pitch. */
  private deadNotes(dead: Float32Array, from: number, to: number, first: number, n: number): void {
    const f = this.kernel.memory;
    const mean = new Float32Array(n * CHANNELS);
    const x = this.x + PRE * ROWS * CHANNELS;
    for (let t = 0; t < n; t++)
      for (let p = 1; p <= PITCHES; p++) {
        const at = x + (t * ROWS + p) * CHANNELS;
        for (let i = 0; i < CHANNELS; i++) mean[t * CHANNELS + i]! += f[at + i]! / PITCHES;
      }
    const w = this.at.get('dead.w')!.place;
    const b = f[this.at.get('dead.b')!.place]!;
    for (let t = from; t < to; t++) {
      let sum = b;
      for (let k = -2; k <= 2; k++) {
        const q = t - first + k;
        if (q < 0 || q >= n) continue;
        for (let i = 0; i < CHANNELS; i++)
          sum += mean[q * CHANNELS + i]! * f[w + (k + 2) * CHANNELS + i]!;
      }
      dead[t] = sum;
    }
  }

  /** Fills `rows` rows of `stride` floats with a bias, and zeros behind it. */
  private bias(at: number, rows: number, name: string, width: number, stride = width): void {
    const f = this.kernel.memory;
    const { place } = this.at.get(name)!;
    for (let i = 0; i < stride; i++) f[at + i] = i < width ? f[place + i]! : 0;
    const all = rows * stride;
    for (let have = stride; have < all; have *= 2) {
      f.copyWithin(at + have, at, at + Math.min(have, all - have));
    }
  }

  /** y += x · matrix `m` of a tensor, for rows of x and y so many floats apart. */
  private multiply(
    x: number,
    xs: number,
    name: string,
    m: number,
    y: number,
    ys: number,
    count: number,
    columns: number,
  ): void {
    const { place, rows } = this.at.get(name)!;
    const w = place + m * rows * paneled(columns);
    for (let c = 0; c < paneled(columns); c += PANEL) {
      this.kernel.multiply(x, xs, w + c * rows, y + c, ys, count, rows);
    }
  }

  private chunk(features: Features, first: number, end: number): void {
    const { kernel } = this;
    const f = kernel.memory;
    const n = end - first;
    const rows = n * ROWS;
    this.place(features, first, end);
    for (const layer of [this.x, this.y, this.z]) {
      f.fill(0, layer, layer + (n + 2 * PRE) * ROWS * CHANNELS);
    }
    const x = this.x + PRE * ROWS * CHANNELS;
    const y = this.y + PRE * ROWS * CHANNELS;
    const z = this.z + PRE * ROWS * CHANNELS;
    this.bias(x, rows, 'first.b', CHANNELS);
    for (let t = 0; t < n; t++) {
      const to = x + (t * ROWS + 1) * CHANNELS;
      for (let k = 0; k < 3; k++)
        PARTIALS.forEach((bin, h) => {
          const from = this.seen + ((t + k) * WIDE + BELOW + bin - 2) * 2;
          const m = k * PARTIALS.length + h;
          this.multiply(from, 6, 'first.w', m, to, CHANNELS, PITCHES, CHANNELS);
        });
    }
    kernel.cut(x, rows * CHANNELS);
    this.clearEdges(x, n);
    DILATIONS.forEach((far, i) => {
      const step = far * ROWS * CHANNELS;
      this.bias(y, rows, `b${i}.t.b`, CHANNELS);
      for (let q = 0; q < 3; q++) {
        const from = x + (q - 1) * step;
        this.multiply(from, CHANNELS, `b${i}.t.w`, q, y, CHANNELS, rows, CHANNELS);
      }
      kernel.cut(y, rows * CHANNELS);
      this.clearEdges(y, n);
      this.bias(z, rows, `b${i}.p.b`, CHANNELS);
      for (let q = 0; q < 3; q++) {
        const from = y + (q - 1) * CHANNELS;
        this.multiply(from, CHANNELS, `b${i}.p.w`, q, z, CHANNELS, rows, CHANNELS);
      }
      if (MIXES[i]) this.mixPitches(i, x, z, n);
      kernel.addCut(x, z, rows * CHANNELS);
      this.clearEdges(x, n);
    });
    this.bias(this.out, rows, 'head.b', OUTPUTS, PANEL);
    this.multiply(x, CHANNELS, 'head.w', 0, this.out, PANEL, rows, OUTPUTS);
  }

  /** The features of a chunk with a frame more on both sides, and room around each frame. */
  private place({ values, frames }: Features, first: number, end: number): void {
    const f = this.kernel.memory;
    f.fill(0, this.seen, this.seen + (end - first + 2) * WIDE * 2);
    for (let t = first - 1; t <= end; t++) {
      if (t < 0 || t >= frames) continue;
      const to = this.seen + ((t - first + 1) * WIDE + BELOW) * 2;
      f.set(values.subarray(t * BINS * 2, (t + 1) * BINS * 2), to);
    }
  }

  /** A few values of every pitch, handed to those an octave, a fifth or a fourth away. */
  private mixPitches(i: number, x: number, z: number, n: number): void {
    const { kernel, mix } = this;
    kernel.memory.fill(0, mix, mix + n * MIX_ROWS * PANEL);
    for (let t = 0; t < n; t++) {
      const here = mix + (t * MIX_ROWS + MIX_ROOM) * PANEL;
      const row = (t * ROWS + 1) * CHANNELS;
      this.bias(here, PITCHES, `b${i}.a.b`, MIXED, PANEL);
      this.multiply(x + row, CHANNELS, `b${i}.a.w`, 0, here, PANEL, PITCHES, MIXED);
      kernel.cut(here, PITCHES * PANEL);
      MIX_STEPS.forEach((step, q) => {
        const from = here + step * PANEL;
        this.multiply(from, PANEL, `b${i}.m.w`, q, z + row, CHANNELS, PITCHES, CHANNELS);
      });
    }
  }

  private clearEdges(layer: number, n: number): void {
    const f = this.kernel.memory;
    for (let t = 0; t < n; t++) {
      const at = layer + t * ROWS * CHANNELS;
      f.fill(0, at, at + CHANNELS);
      f.fill(0, at + (ROWS - 1) * CHANNELS, at + ROWS * CHANNELS);
    }
  }
}

function paneled(columns: number): number {
  return Math.ceil(columns / PANEL) * PANEL;
}

/** IEEE 754 binary16. */
function halfFloat(h: number): number {
  const sign = (h & 0x8000) !== 0 ? -1 : 1;
  const exponent = (h >> 10) & 31;
  const fraction = h & 1023;
  if (exponent === 0) return sign * fraction * 2 ** -24;
  if (exponent === 31) return fraction === 0 ? sign * Number.POSITIVE_INFINITY : Number.NaN;
  return sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
}
