export function sigmoid(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

export function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / Math.max(1, values.length);
}

/** Of at least one value. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  return n % 2 === 1 ? sorted[n >> 1]! : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
}

/** The k-th greatest, from 1, or the least where there are fewer; 0 of none. */
export function kth(values: readonly number[], k: number): number {
  const sorted = [...values].sort((a, b) => b - a);
  return sorted[Math.min(k, sorted.length) - 1] ?? 0;
}
