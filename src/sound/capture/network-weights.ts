import { PANEL, SPREAD, SPREAD_WEIGHTS } from './kernel';
import { DILATIONS, PARTIALS, TENSORS, type TensorShape } from './network-shape';

/** Convolutions of three taps, whose weights are kept as those of `spread`: matrices of the file a tap. */
const TAPS: ReadonlyMap<string, number> = new Map([
  ['first.w', PARTIALS.length],
  ...DILATIONS.flatMap((_, i) => [[`b${i}.t.w`, 1] as const, [`b${i}.p.w`, 1] as const]),
]);

export function paneled(columns: number): number {
  return Math.ceil(columns / PANEL) * PANEL;
}

/** Floats that a tensor takes where the network computes with it. */
export function roomOf(t: TensorShape): number {
  const taps = TAPS.get(t.name);
  return (taps === undefined ? t.matrices : SPREAD * taps) * t.rows * paneled(t.columns);
}

/** Reads the file of weights into a memory, each tensor at its place. */
export function placeWeights(
  weights: Uint8Array,
  f: Float32Array,
  at: ReadonlyMap<string, { readonly place: number }>,
): void {
  const view = new DataView(weights.buffer, weights.byteOffset, weights.byteLength);
  let from = 0;
  for (const t of TENSORS) {
    const { place } = at.get(t.name)!;
    // Biases and the weights of the dead notes are read one by one, in their own order.
    const inPanels = t.name.endsWith('.w') && t.name !== 'dead.w';
    const taps = TAPS.get(t.name);
    const size = t.rows * paneled(t.columns);
    for (let m = 0; m < t.matrices; m++)
      for (let r = 0; r < t.rows; r++)
        for (let c = 0; c < t.columns; c++, from += 2) {
          const value = halfFloat(view.getUint16(from, true));
          const to = inPanels
            ? (c >> 4) * t.rows * PANEL + r * PANEL + (c & 15)
            : r * t.columns + c;
          if (taps === undefined) f[place + m * size + to] = value;
          else addSpread(f, place + (m % taps) * size + to, taps * size, m / taps, value);
        }
  }
}

/** One of three weights, added to its share of six that lie `apart`. */
function addSpread(f: Float32Array, to: number, apart: number, m: number, value: number): void {
  const tap = Math.floor(m);
  for (let i = 0; i < SPREAD; i++) f[to + i * apart]! += SPREAD_WEIGHTS[i]![tap]! * value;
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
