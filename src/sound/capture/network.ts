import { type Features, featuresOf } from './front-end';
import { KEPT_FREE, type Kernel, PANEL, plainKernel, SPREAD, simdKernel, TOGETHER } from './kernel';
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
import { paneled, placeWeights, roomOf } from './network-weights';

/**
 * What the network says of every pitch in every frame, sixteen values each: 0 onset, 1 sounding,
 * 2 offset from the semitone, 3 to 6 pluck, hammer-on, pull-off, slide, 7 to 10 bend, vibrato, slide,
 * muted, 11 to 15 the first to the fifth string, beside the sixth, whose logit is always 0. All are logits
 * but the offset, which is in semitones.
 */
export interface Posteriors {
  readonly frames: number;
  /** The pitch of the first row, a MIDI number. */
  readonly lowest: number;
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
const FAR = Math.max(...DILATIONS);
const PRE = FAR + 2;
/** Frames behind the last that are computed along, since several are at once, or looked at by those. */
const POST = (TOGETHER + 1) * FAR + 2;
/** Floats of one of the six values of a frame or of four: all pitches, or all bins of four frames. */
const PLANE = ROWS * CHANNELS;
/** Bins of a frame with room below and above, where partials reach out of it; a multiple of 32. */
const BELOW = 60;
const WIDE = 32 * Math.ceil((BINS + 120) / 32);
/** Pitches with room on both sides for the steps at which a block looks. */
const MIX_ROOM = Math.max(...MIX_STEPS);
const MIX_ROWS = PITCHES + 2 * MIX_ROOM;

/**
 * The network of the capture model on plain typed arrays: about seven hundred million multiplications a second of
 * sound. Every matrix lies in panels of sixteen outputs, [columns / 16][rows][16], padded with zeros.
 */
export class Network {
  private readonly kernel: Kernel;
  private readonly at = new Map<string, { readonly place: number; readonly rows: number }>();
  /** Two layers of values and four frames of a third, the parts of the mix, the features and what comes out. */
  private readonly x: number;
  private readonly y: number;
  private readonly z: number;
  /** Six values of four frames each, before and after the weights. */
  private readonly spread: number;
  private readonly joined: number;
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
      this.at.set(t.name, { place: reserve(roomOf(t)), rows: t.rows });
    }
    const frames = this.most + 2 * MARGIN;
    const layer = (PRE + frames + POST) * PLANE + PANEL;
    this.x = reserve(layer);
    this.y = reserve(layer);
    this.z = reserve((TOGETHER * ROWS + 1) * CHANNELS);
    this.spread = reserve(SPREAD * PLANE + PANEL);
    this.joined = reserve(SPREAD * PLANE + PANEL);
    this.mix = reserve(MIX_ROWS * PANEL + 2 * PANEL);
    this.seen = reserve((frames + 2 + TOGETHER) * WIDE * 2 + PANEL);
    this.out = reserve((frames * ROWS + 1) * PANEL);
    this.kernel = (o.plain === true ? null : simdKernel(top)) ?? plainKernel(top);
    placeWeights(weights, this.kernel.memory, this.at);
  }

  /** Which arithmetic it runs on. */
  get arithmetic(): Kernel['name'] {
    return this.kernel.name;
  }

  /**
   * @param x Samples at RATE.
   * @param o `level` is the loud level to go by where it is known; `lowest` the pitch of the first row, LOWEST where absent;
   *   `progress` is told the share done.
   */
  run(
    x: Float32Array,
    o: {
      readonly level?: number;
      readonly lowest?: number;
      readonly progress?: ((share: number) => void) | undefined;
    } = {},
  ): Posteriors {
    return this.see(featuresOf(x, o), o.progress);
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
    return { frames, lowest: features.lowest, values, dead };
  }

  /** The middle of all pitches, five frames of it: strokes without pitch. */
  private deadNotes(dead: Float32Array, from: number, to: number, first: number, n: number): void {
    const f = this.kernel.memory;
    const mean = new Float32Array(n * CHANNELS);
    const x = this.x + PRE * ROWS * CHANNELS;
    for (let t = 0; t < n; t++)
      for (let p = 1; p <= PITCHES; p++) {
        const at = x + (t * ROWS + p) * CHANNELS;
        for (let i = 0; i < CHANNELS; i++) mean[t * CHANNELS + i]! += f[at + i]!;
      }
    const w = this.at.get('dead.w')!.place;
    const b = f[this.at.get('dead.b')!.place]!;
    for (let t = from; t < to; t++) {
      let sum = 0;
      for (let k = -2; k <= 2; k++) {
        const q = t - first + k;
        if (q < 0 || q >= n) continue;
        for (let i = 0; i < CHANNELS; i++)
          sum += mean[q * CHANNELS + i]! * f[w + (k + 2) * CHANNELS + i]!;
      }
      dead[t] = b + sum / PITCHES;
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
    const f = this.kernel.memory;
    const n = end - first;
    this.place(features, first, end);
    for (const layer of [this.x, this.y]) f.fill(0, layer, layer + (PRE + n + POST) * PLANE);
    const x = this.x + PRE * PLANE;
    const y = this.y + PRE * PLANE;
    this.partials(x, n);
    DILATIONS.forEach((far, i) => {
      this.inTime(i, far, x, y, n);
      for (let t = 0; t < n; t += TOGETHER) this.inPitch(i, x, y, t, Math.min(n, t + TOGETHER));
    });
    this.bias(this.out, n * ROWS, 'head.b', OUTPUTS, PANEL);
    this.multiply(x, CHANNELS, 'head.w', 0, this.out, PANEL, n * ROWS, OUTPUTS);
  }

  /** The first layer: what lies at the partials of each pitch, in three frames. */
  private partials(x: number, n: number): void {
    const { kernel, spread, joined } = this;
    const bias = this.at.get('first.b')!.place;
    const wide = 2 * WIDE;
    kernel.memory.fill(0, joined, joined + SPREAD * PLANE);
    for (let t = 0; t < n; t += TOGETHER) {
      kernel.spread(this.seen + t * wide, wide, CHANNELS, spread, wide, wide / CHANNELS);
      for (let i = 0; i < SPREAD; i++) {
        const to = joined + i * PLANE + CHANNELS;
        kernel.memory.fill(0, to, to + PITCHES * CHANNELS);
        PARTIALS.forEach((bin, h) => {
          const from = spread + i * wide + (BELOW + bin - 2) * 2;
          const m = i * PARTIALS.length + h;
          this.multiply(from, 6, 'first.w', m, to, CHANNELS, PITCHES, CHANNELS);
        });
      }
      kernel.join(joined, PLANE, bias, 0, 0, x + t * PLANE, PLANE, CHANNELS, ROWS);
    }
    this.clearEdges(x, 0, n);
    this.clearBehind(x, n);
  }

  /** y = what three frames of x, `far` apart, come to: four frames at a time, as far apart. */
  private inTime(i: number, far: number, x: number, y: number, n: number): void {
    const { kernel, spread, joined } = this;
    const step = far * PLANE;
    const bias = this.at.get(`b${i}.t.b`)!.place;
    for (let t = 0; t < n; t += TOGETHER * far)
      for (let k = t; k < Math.min(n, t + far); k++) {
        // The first and the last row have no pitch, and stay zero.
        const row = k * PLANE + CHANNELS;
        kernel.spread(x + row - step, step, CHANNELS, spread, PLANE, PITCHES);
        this.weigh(`b${i}.t.w`, PITCHES);
        kernel.join(joined, PLANE, bias, 0, 0, y + row, step, CHANNELS, PITCHES);
      }
    this.clearBehind(y, n);
  }

  /** x += what three pitches of y come to, and what other pitches of x hand on, for up to four frames. */
  private inPitch(i: number, x: number, y: number, from: number, to: number): void {
    const { kernel, spread, joined } = this;
    const far = TOGETHER * CHANNELS;
    const tiles = ((to - from) * ROWS) / TOGETHER;
    const at = x + from * PLANE;
    kernel.spread(y + from * PLANE - CHANNELS, CHANNELS, far, spread, PLANE, tiles);
    this.weigh(`b${i}.p.w`, tiles);
    if (MIXES[i]) {
      this.bias(this.z, (to - from) * ROWS, `b${i}.p.b`, CHANNELS);
      for (let t = from; t < to; t++)
        this.mixPitches(i, x + t * PLANE, this.z + (t - from) * PLANE);
      kernel.joinOnto(joined, PLANE, this.z, CHANNELS, far, at, CHANNELS, far, tiles);
    } else {
      const bias = this.at.get(`b${i}.p.b`)!.place;
      kernel.joinOnto(joined, PLANE, bias, 0, 0, at, CHANNELS, far, tiles);
    }
    this.clearEdges(x, from, to);
  }

  /** The six values of so many tiles, each with its own weights. */
  private weigh(name: string, tiles: number): void {
    const { place } = this.at.get(name)!;
    for (let i = 0; i < SPREAD; i++)
      for (let c = 0; c < CHANNELS; c += PANEL) {
        const w = place + (i * CHANNELS + c) * CHANNELS;
        const to = this.joined + i * PLANE + c;
        this.kernel.product(this.spread + i * PLANE, CHANNELS, w, to, CHANNELS, tiles, CHANNELS);
      }
  }

  /** The features of a chunk with a frame more on both sides, and room around each frame. */
  private place({ values, frames }: Features, first: number, end: number): void {
    const f = this.kernel.memory;
    f.fill(0, this.seen, this.seen + (end - first + 2 + TOGETHER) * WIDE * 2);
    for (let t = first - 1; t <= end; t++) {
      if (t < 0 || t >= frames) continue;
      const to = this.seen + ((t - first + 1) * WIDE + BELOW) * 2;
      f.set(values.subarray(t * BINS * 2, (t + 1) * BINS * 2), to);
    }
  }

  /** A few values of every pitch of a frame, handed to those an octave, a fifth or a fourth away. */
  private mixPitches(i: number, x: number, z: number): void {
    const { kernel, mix } = this;
    const here = mix + MIX_ROOM * PANEL;
    this.bias(here, PITCHES, `b${i}.a.b`, MIXED, PANEL);
    this.multiply(x + CHANNELS, CHANNELS, `b${i}.a.w`, 0, here, PANEL, PITCHES, MIXED);
    kernel.cut(here, PITCHES * PANEL);
    MIX_STEPS.forEach((step, q) => {
      // Pitches that have none so far away are handed nothing.
      const first = Math.max(0, -step);
      const count = PITCHES - Math.abs(step);
      const from = here + (first + step) * PANEL;
      const to = z + (first + 1) * CHANNELS;
      this.multiply(from, PANEL, `b${i}.m.w`, q, to, CHANNELS, count, CHANNELS);
    });
  }

  private clearEdges(layer: number, from: number, to: number): void {
    const f = this.kernel.memory;
    for (let t = from; t < to; t++) {
      const at = layer + t * PLANE;
      f.fill(0, at, at + CHANNELS);
      f.fill(0, at + PLANE - CHANNELS, at + PLANE);
    }
  }

  /** What was computed beyond the last frame is not there. */
  private clearBehind(layer: number, n: number): void {
    this.kernel.memory.fill(0, layer + n * PLANE, layer + (n + POST) * PLANE);
  }
}
