/**
 * Integrated loudness in LUFS of one channel (ITU-R BS.1770-4): K-weighting, blocks of 400 ms, gates
 * at -70 LUFS and 10 LU under the mean. Coefficients by the recommendation's analogue prototypes as
 * given for any rate in EBU Tech 3341's common implementations (from memory; checked at 48 kHz).
 */
export function loudness(x: Float32Array, rate: number): number {
  const weighted = filtered(filtered(x, shelf(rate)), highpass(rate));
  const size = Math.round(0.4 * rate);
  const step = Math.round(0.1 * rate);
  const powers: number[] = [];
  for (let at = 0; at + size <= weighted.length; at += step) {
    let sum = 0;
    for (let i = at; i < at + size; i++) sum += weighted[i]! ** 2;
    powers.push(sum / size);
  }
  const over = (gate: number, list: readonly number[]) => list.filter((p) => units(p) > gate);
  const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;
  const first = over(-70, powers);
  if (first.length === 0) return Number.NEGATIVE_INFINITY;
  return units(mean(over(units(mean(first)) - 10, first)));
}

const units = (power: number) => -0.691 + 10 * Math.log10(power);

/** A filter of second order: b0, b1, b2, a1, a2. */
type Biquad = readonly [number, number, number, number, number];

function shelf(rate: number): Biquad {
  const k = Math.tan((Math.PI * 1681.974_450_955_533) / rate);
  const q = 0.707_175_236_955_419_6;
  const vh = 10 ** (3.999_843_853_973_347 / 20);
  const vb = vh ** 0.499_666_774_154_541_6;
  const a0 = 1 + k / q + k * k;
  return [
    (vh + (vb * k) / q + k * k) / a0,
    (2 * (k * k - vh)) / a0,
    (vh - (vb * k) / q + k * k) / a0,
    (2 * (k * k - 1)) / a0,
    (1 - k / q + k * k) / a0,
  ];
}

function highpass(rate: number): Biquad {
  const k = Math.tan((Math.PI * 38.135_470_876_024_44) / rate);
  const q = 0.500_327_037_323_877_3;
  const a0 = 1 + k / q + k * k;
  return [1, -2, 1, (2 * (k * k - 1)) / a0, (1 - k / q + k * k) / a0];
}

function filtered(x: Float32Array, [b0, b1, b2, a1, a2]: Biquad): Float32Array {
  let x1 = 0;
  let x2 = 0;
  let y1 = 0;
  let y2 = 0;
  return x.map((v) => {
    const y = b0 * v + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
    x2 = x1;
    x1 = v;
    y2 = y1;
    y1 = y;
    return y;
  });
}
