import { type Instance, instanceOf } from './instance';
import { KERNEL } from './kernel-bytes';

/** Outputs of a panel: what the kernel computes at once. */
export const PANEL = 16;

/** Values of a row that `spread` and `join` take at once. */
export const WIDTH = 64;
/** Outputs of a convolution of three taps that are computed together, and values they are computed from. */
export const TOGETHER = 4;
export const SPREAD = 6;

/** The arithmetic of the network over one memory of 32-bit floats. All places and strides count floats. */
export interface Kernel {
  readonly name: 'simd' | 'plain';
  readonly memory: Float32Array;
  /**
   * y[r][0..16) += sum over k of x[r][k] · w[k][0..16), for `rows` rows, rounded up to an even number.
   * @param xs Floats from one row of x to the next; ys likewise.
   * @param k An even number.
   */
  readonly multiply: Multiply;
  /** The same in place of what is there; `k` is a multiple of four. */
  readonly product: Multiply;
  /** x = max(x, 0), for n floats, a multiple of four. */
  readonly cut: (x: number, n: number) => void;
  /**
   * The first third of a convolution of three taps (Winograd's F(4, 3)): of each tile the six rows that lie `step`
   * apart become the six of `v` that lie `plane` apart. Tiles are `apart`, in `v` close together.
   */
  readonly spread: (
    x: number,
    step: number,
    apart: number,
    v: number,
    plane: number,
    tiles: number,
  ) => void;
  /** The last third: y = max(0, outputs + b), four rows a tile; `y` and `b` each have a step and tiles apart. */
  readonly join: Join;
  /** y = max(0, y + outputs + b), likewise. */
  readonly joinOnto: Join;
}

type Multiply = (
  x: number,
  xs: number,
  w: number,
  y: number,
  ys: number,
  rows: number,
  k: number,
) => void;
type Join = (
  v: number,
  plane: number,
  b: number,
  bStep: number,
  bApart: number,
  y: number,
  step: number,
  apart: number,
  tiles: number,
) => void;

/** The middle third: weights of three taps as six, the outputs' share of each (see `spread`). */
export const SPREAD_WEIGHTS: readonly (readonly [number, number, number])[] = [
  [1 / 4, 0, 0],
  [-1 / 6, -1 / 6, -1 / 6],
  [-1 / 6, 1 / 6, -1 / 6],
  [1 / 24, 1 / 12, 1 / 6],
  [1 / 24, -1 / 12, 1 / 6],
  [0, 0, 1],
];

/** Floats that a memory begins with and that nothing uses. */
export const KEPT_FREE = 256;

type Exports = Instance &
  Pick<Kernel, 'multiply' | 'product' | 'cut' | 'spread' | 'join' | 'joinOnto'>;

const PAGE_FLOATS = 65_536 / 4;

/** The fast kernel; null where WebAssembly with SIMD is not to be had, or not allowed. */
export function simdKernel(floats: number): Kernel | null {
  const e = instanceOf<Exports>(KERNEL);
  if (e === null) return null;
  e.memory.grow(Math.ceil(floats / PAGE_FLOATS));
  return {
    name: 'simd',
    memory: new Float32Array(e.memory.buffer),
    multiply: (x, xs, w, y, ys, rows, k) => e.multiply(4 * x, xs, 4 * w, 4 * y, ys, rows, k),
    product: (x, xs, w, y, ys, rows, k) => e.product(4 * x, xs, 4 * w, 4 * y, ys, rows, k),
    cut: (x, n) => e.cut(4 * x, n),
    spread: (x, step, apart, v, plane, n) => e.spread(4 * x, step, apart, 4 * v, plane, n),
    join: (v, plane, b, bs, ba, y, step, apart, n) =>
      e.join(4 * v, plane, 4 * b, bs, ba, 4 * y, step, apart, n),
    joinOnto: (v, plane, b, bs, ba, y, step, apart, n) =>
      e.joinOnto(4 * v, plane, 4 * b, bs, ba, 4 * y, step, apart, n),
  };
}

/** The same in TypeScript, some forty times slower. */
export function plainKernel(floats: number): Kernel {
  const f = new Float32Array(floats + KEPT_FREE);
  return {
    name: 'plain',
    memory: f,
    multiply: plainMultiply(f, true),
    product: plainMultiply(f, false),
    cut: (x, n) => {
      for (let i = x; i < x + n; i++) if (f[i]! < 0) f[i] = 0;
    },
    spread: plainSpread(f),
    join: plainJoin(f, false),
    joinOnto: plainJoin(f, true),
  };
}

function plainMultiply(f: Float32Array, onto: boolean): Multiply {
  const sum = new Float32Array(PANEL);
  return (x, xs, w, y, ys, rows, k) => {
    for (let r = 0; r < rows; r++) {
      const from = x + r * xs;
      const to = y + r * ys;
      for (let j = 0; j < PANEL; j++) sum[j] = onto ? f[to + j]! : 0;
      for (let i = 0, at = w; i < k; i++, at += PANEL) {
        const v = f[from + i]!;
        if (v === 0) continue;
        for (let j = 0; j < PANEL; j++) sum[j]! += v * f[at + j]!;
      }
      for (let j = 0; j < PANEL; j++) f[to + j] = sum[j]!;
    }
  };
}

function plainSpread(f: Float32Array): Kernel['spread'] {
  return (x, step, apart, v, plane, tiles) => {
    for (let t = 0; t < tiles; t++)
      for (let i = 0; i < WIDTH; i++) {
        const from = x + t * apart + i;
        const to = v + t * WIDTH + i;
        const a = (k: number) => f[from + k * step]!;
        f[to] = 4 * a(0) - 5 * a(2) + a(4);
        f[to + plane] = a(3) + a(4) - 4 * (a(1) + a(2));
        f[to + 2 * plane] = a(4) - a(3) + 4 * (a(1) - a(2));
        f[to + 3 * plane] = a(4) - a(2) + 2 * (a(3) - a(1));
        f[to + 4 * plane] = a(4) - a(2) - 2 * (a(3) - a(1));
        f[to + 5 * plane] = 4 * a(1) - 5 * a(3) + a(5);
      }
  };
}

function plainJoin(f: Float32Array, onto: boolean): Join {
  return (v, plane, b, bStep, bApart, y, step, apart, tiles) => {
    for (let t = 0; t < tiles; t++)
      for (let i = 0; i < WIDTH; i++) {
        const a = (k: number) => f[v + t * WIDTH + i + k * plane]!;
        const even = a(1) + a(2);
        const odd = a(1) - a(2);
        const far = a(3) + a(4);
        const bow = a(3) - a(4);
        const sums = [a(0) + even + far, odd + 2 * bow, even + 4 * far, odd + 8 * bow + a(5)];
        for (let k = 0; k < TOGETHER; k++) {
          const to = y + t * apart + k * step + i;
          const all = sums[k]! + f[b + t * bApart + k * bStep + i]!;
          f[to] = Math.max(0, onto ? all + f[to]! : all);
        }
      }
  };
}
