import { layLane, parseLane, storeLane } from '../move/lane';
import { fullLength, meterTicks } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import { ok, type Result } from '../result';

/** A phrase with a lane of chords over it, and how many bars it got for that. */
export interface Laned {
  readonly phrase: Phrase;
  readonly added: number;
}

/**
 * Lays a lane that was typed over a phrase. Where it has more bars than the phrase, bars like the last
 * one are added, so that the form can come before the notes; nothing is repeated or cut in silence (M2).
 */
export function layWithBars(p: Phrase, text: string): Result<Laned> {
  const bars = parseLane(text, p.key);
  if (!bars.ok) return bars;
  const added = missing(p, bars.value);
  const long = withBars(p, added);
  const laid = layLane(long, bars.value);
  if (!laid.ok) return laid;
  return ok({ phrase: { ...long, chords: storeLane(laid.value) }, added });
}

/** How many bars a lane has more than the phrase; 0 where it has none, or cannot be read. */
export function barsMissing(p: Phrase, text: string): number {
  const bars = parseLane(text, p.key);
  return bars.ok ? missing(p, bars.value) : 0;
}

function missing(p: Phrase, bars: readonly (readonly unknown[])[]): number {
  // One symbol covers the whole phrase, however long it is.
  if (bars.length === 1 && bars[0]!.length === 1) return 0;
  return Math.max(0, bars.length - p.bars.length);
}

/** The phrase with so many more bars like its last one; its last bar is filled up first. */
export function withBars(p: Phrase, count: number): Phrase {
  if (count <= 0) return p;
  const { meter } = p.bars.at(-1)!;
  return {
    ...p,
    bars: [...p.bars, ...Array.from({ length: count }, () => ({ meter }))],
    length: fullLength(p) + count * meterTicks(meter),
  };
}
