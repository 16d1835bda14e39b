/**
 * What the network says of an onset, and how often a note that it says so of had been played: the validation sets of the README
 * together (28,003 notes that were heard, none trained on), as a line from point to point.
 */
const KNOTS: readonly (readonly [said: number, right: number])[] = [
  [0.5, 0.4],
  [0.55, 0.5],
  [0.66, 0.77],
  [0.76, 0.96],
  [0.85, 0.98],
  [1, 0.99],
];

/** How sure a note is, 0 to 1, out of the peak of its onset: never less for a higher peak, so that no order changes. */
export function calibrated(said: number): number {
  const next = KNOTS.findIndex(([at]) => at >= said);
  if (next === 0) return KNOTS[0]![1];
  const [to, high] = next < 0 ? KNOTS.at(-1)! : KNOTS[next]!;
  const [from, low] = next < 0 ? KNOTS.at(-1)! : KNOTS[next - 1]!;
  return to === from ? high : low + ((high - low) * (said - from)) / (to - from);
}
