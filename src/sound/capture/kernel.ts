import { KERNEL } from './kernel-bytes';

/** Outputs of a panel: what the kernel computes at once. */
export const PANEL = 16;

/** The arithmetic of the network over one memory of 32-bit floats. All places and strides count floats. */
export interface Kernel {
  readonly name: 'simd' | 'plain';
  readonly memory: Float32Array;
  /**
   * y[r][0..16) += sum over k of x[r][k] · w[k][0..16), for `rows` rows, rounded up to an even number.
   * @param xs Floats from one row of x to the next; ys likewise.
   */
  readonly multiply: (
    x: number,
    xs: number,
    w: number,
    y: number,
    ys: number,
    rows: number,
    k: number,
  ) => void;
  /** x = max(x, 0), for n floats, a multiple of four. */
  readonly cut: (x: number, n: number) => void;
  /** x = max(x + y, 0), likewise. */
  readonly addCut: (x: number, y: number, n: number) => void;
}

/** Floats that a memory begins with and that nothing uses. */
export const KEPT_FREE = 256;

interface Exports {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  gemm(x: number, xs: number, w: number, y: number, ys: number, rows: number, k: number): void;
  relu(x: number, n: number): void;
  addrelu(x: number, y: number, n: number): void;
}

/** The part of the standard that is used; not every place that compiles this knows its types. */
interface WasmApi {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: unknown };
}

const PAGE_FLOATS = 65_536 / 4;

/** The fast kernel; null where WebAssembly with SIMD is not to be had, or not allowed. */
export function simdKernel(floats: number): Kernel | null {
  const api = (globalThis as { readonly WebAssembly?: WasmApi }).WebAssembly;
  if (api === undefined) return null;
  let e: Exports;
  try {
    const bytes = Uint8Array.from(atob(KERNEL), (c) => c.charCodeAt(0));
    e = new api.Instance(new api.Module(bytes)).exports as Exports;
  } catch {
    // Too old for SIMD, or the policy of the page forbids it: the plain one does the same.
    return null;
  }
  e.memory.grow(Math.ceil(floats / PAGE_FLOATS));
  return {
    name: 'simd',
    memory: new Float32Array(e.memory.buffer),
    multiply: (x, xs, w, y, ys, rows, k) => e.gemm(4 * x, xs, 4 * w, 4 * y, ys, rows, k),
    cut: (x, n) => e.relu(4 * x, n),
    addCut: (x, y, n) => e.addrelu(4 * x, 4 * y, n),
  };
}

/** The same in TypeScript, some ten times slower. */
export function plainKernel(floats: number): Kernel {
  const f = new Float32Array(floats + KEPT_FREE);
  return {
    name: 'plain',
    memory: f,
    multiply: (x, xs, w, y, ys, rows, k) => {
      const sum = new Float32Array(PANEL);
      for (let r = 0; r < rows; r++) {
        const from = x + r * xs;
        const to = y + r * ys;
        for (let j = 0; j < PANEL; j++) sum[j] = f[to + j]!;
        for (let i = 0, at = w; i < k; i++, at += PANEL) {
          const v = f[from + i]!;
          if (v === 0) continue;
          for (let j = 0; j < PANEL; j++) sum[j]! += v * f[at + j]!;
        }
        for (let j = 0; j < PANEL; j++) f[to + j] = sum[j]!;
      }
    },
    cut: (x, n) => {
      for (let i = x; i < x + n; i++) if (f[i]! < 0) f[i] = 0;
    },
    addCut: (x, y, n) => {
      for (let i = 0; i < n; i++) f[x + i] = Math.max(0, f[x + i]! + f[y + i]!);
    },
  };
}
