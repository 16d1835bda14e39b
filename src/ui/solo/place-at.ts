import { holdAll } from './bench';
import type { SoloAsked, SoloMade } from './solo-worker';
import type { PlaceAsked } from './use-studio';

/** A place with what is empty behind it is no longer than this, as no phrase is. */
const MOST_BARS = 4;

/**
 * The place that a bar belongs to, with the bars behind it that nobody wants empty, and everything else held as it lies: where a
 * phrase is followed by an empty bar, one that is a bar longer could stand there too.
 */
export function placeAt(asked: SoloAsked, made: SoloMade, bar: number): PlaceAsked {
  const part = made.parts.find((p) => p.firstBar <= bar && bar <= p.lastBar);
  const next = made.parts.find((p) => p.firstBar > bar);
  const wished = new Set(asked.held.flatMap((h) => (h.id === null ? [h.bar] : [])));
  const free = new Set(made.empty.flatMap((e) => (wished.has(e.bar) ? [] : [e.bar])));
  const firstBar = part?.firstBar ?? bar;
  let lastBar = part?.lastBar ?? bar;
  while (free.has(lastBar + 1) && lastBar + 1 < firstBar + MOST_BARS) lastBar++;
  if (next !== undefined) lastBar = Math.min(lastBar, next.firstBar - 1);
  const held = holdAll(
    asked,
    made.parts.filter((p) => p !== part),
  ).filter((h) => h.id !== null || h.bar < firstBar || h.bar > lastBar);
  return { asked: { ...asked, held }, firstBar, lastBar };
}
