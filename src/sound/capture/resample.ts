/** Zero crossings of the filter on each side. */
const CROSSINGS = 32;
/** Share of the lower half rate that passes. */
const PASS = 0.96;
/** Places between two samples for which a filter is kept. */
const PHASES = 4096;

/** The same sound at another rate: a windowed sinc of 32 zero crossings on each side. */
export function resample(x: Float32Array, from: number, to: number): Float32Array {
  if (from === to) return x;
  const step = from / to;
  const pass = Math.min(1, to / from) * PASS;
  const reach = Math.ceil(CROSSINGS / pass);
  const filters = new Map<number, Float64Array>();
  const filterAt = (share: number) => {
    const phase = Math.round(share * PHASES);
    const known = filters.get(phase);
    if (known !== undefined) return known;
    const made = filterOf(phase / PHASES, pass, reach);
    filters.set(phase, made);
    return made;
  };
  const out = new Float32Array(Math.floor(x.length / step));
  for (let i = 0; i < out.length; i++) {
    const at = i * step;
    const whole = Math.floor(at);
    const filter = filterAt(at - whole);
    out[i] = sumOf(filter, x, whole - reach + 1);
  }
  return out;
}

/** The filter over what is there of `x` from one sample on. */
function sumOf(filter: Float64Array, x: Float32Array, first: number): number {
  const end = Math.min(filter.length, x.length - first);
  let j = Math.max(0, -first);
  // Two sums beside each other: neither waits for the one before it.
  let even = 0;
  let odd = 0;
  for (; j + 1 < end; j += 2) {
    even += filter[j]! * x[first + j]!;
    odd += filter[j + 1]! * x[first + j + 1]!;
  }
  return j < end ? even + odd + filter[j]! * x[first + j]! : even + odd;
}

function filterOf(share: number, pass: number, reach: number): Float64Array {
  const h = new Float64Array(2 * reach);
  let sum = 0;
  for (let j = 0; j < h.length; j++) {
    const u = j - reach + 1 - share;
    const a = Math.PI * pass * u;
    const sinc = Math.abs(a) < 1e-9 ? 1 : Math.sin(a) / a;
    h[j] = sinc * (0.5 + 0.5 * Math.cos((Math.PI * u) / (reach + 1)));
    sum += h[j]!;
  }
  return h.map((v) => v / sum);
}
