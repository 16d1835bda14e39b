import { holdAll } from './bench';
import type { SoloAsked, SoloMade } from './solo-worker';
import type { PlaceAsked } from './use-studio';

/** What fits into an empty place is sought no further ahead than this. */
const MOST_BARS = 4;

/** The place that a bar belongs to, and everything else held as it lies. */
export function placeAt(asked: SoloAsked, made: SoloMade, bar: number): PlaceAsked {
  const part = made.parts.find((p) => p.firstBar <= bar && bar <= p.lastBar);
  const next = made.parts.find((p) => p.firstBar > bar);
  const free = new Set(made.empty.map((e) => e.bar));
  let lastBar = part?.lastBar ?? bar;
  if (part === undefined) {
    while (free.has(lastBar + 1) && lastBar + 1 < bar + MOST_BARS) lastBar++;
    if (next !== undefined) lastBar = Math.min(lastBar, next.firstBar - 1);
  }
  const firstBar = part?.firstBar ?? bar;
  const held = holdAll(
    asked,
    made.parts.filter((p) => p !== part),
  ).filter((h) => h.id !== null || h.bar < firstBar || h.bar > lastBar);
  return { asked: { ...asked, held }, firstBar, lastBar };
}
