import type { Phrase } from '../phrase/types';

/**
 * The phrase with another swing: percent of the pair that its first note takes. 50 is straight, 67
 * the triplet shuffle of 2 : 1. Only the feel changes, so that what is written stays (T3).
 * @param percent 50 to 75; the feel stays as it is where it is null.
 */
export function withSwing(p: Phrase, percent: number | null): Phrase {
  if (percent === null) return p;
  if (percent <= 50) return { ...p, feel: { kind: 'straight' } };
  const unit = p.feel.kind === 'swing' ? p.feel.unit : 'eighth';
  // Two thirds are no whole percent, and are what is meant by the nearest one.
  if (percent === 67) return { ...p, feel: { kind: 'swing', unit, first: 2, second: 1 } };
  const by = divisor(percent, 100 - percent);
  return { ...p, feel: { kind: 'swing', unit, first: percent / by, second: (100 - percent) / by } };
}

/** Percent of the pair that the first note of the phrase's own swing takes. */
export function swingPercent(p: Pick<Phrase, 'feel'>): number {
  const { feel } = p;
  return feel.kind === 'straight'
    ? 50
    : Math.round((100 * feel.first) / (feel.first + feel.second));
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}
