/**
 * Logarithm of the sum of exponentials, without overflow. −Infinity for no finite value.
 */
export function logSum(values: ArrayLike<number>): number {
  let top = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) top = Math.max(top, values[i]!);
  if (top === Number.NEGATIVE_INFINITY) return top;
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += Math.exp(values[i]! - top);
  return top + Math.log(sum);
}

/**
 * A join counts as the logarithm of its share among all that could stand in its place after the same
 * phrase (softmax), not as its bare score: sums of bare scores favour phrases that go with everything.
 */
export function logShares(scores: ArrayLike<number>): Float64Array {
  const all = logSum(scores);
  // Written out, as much of what follows is: 'from' goes by an iterator.
  const shares = new Float64Array(scores.length);
  for (let i = 0; i < shares.length; i++) shares[i] = scores[i]! - all;
  return shares;
}
