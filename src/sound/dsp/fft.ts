/**
 * Discrete Fourier transform in place, radix 2.
 * @param re Real parts; its length, a power of two, is the size.
 * @param im Imaginary parts, of the same length.
 */
export function fft(re: Float64Array, im: Float64Array): void {
  const size = re.length;
  reorder(re, im);
  for (let span = 2; span <= size; span *= 2) {
    const half = span / 2;
    for (let k = 0; k < half; k++) {
      const angle = (-2 * Math.PI * k) / span;
      const c = Math.cos(angle);
      const s = Math.sin(angle);
      for (let a = k; a < size; a += span) {
        const b = a + half;
        const x = re[b]! * c - im[b]! * s;
        const y = re[b]! * s + im[b]! * c;
        re[b] = re[a]! - x;
        im[b] = im[a]! - y;
        re[a] = re[a]! + x;
        im[a] = im[a]! + y;
      }
    }
  }
}

/** Brings every value to the place with its index's bits the other way round. */
function reorder(re: Float64Array, im: Float64Array): void {
  const size = re.length;
  for (let i = 1, j = 0; i < size; i++) {
    let bit = size >> 1;
    for (; (j & bit) !== 0; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [re[i], re[j]] = [re[j]!, re[i]!];
      [im[i], im[j]] = [im[j]!, im[i]!];
    }
  }
}
