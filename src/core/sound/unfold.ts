import { type BarSpan, barSpans } from '../phrase/time';
import type { Phrase, Ticks } from '../phrase/types';
import type { Pass } from './types';

/** No more bars than these are played, whatever the repeats ask for. */
const MOST_BARS = 20_000;

/**
 * The phrase in the order in which it is played (MusicXML 4.0 `<repeat>` and `<ending>`): a repeat
 * goes back to the bar that starts it, else to the first bar behind the last repeat, and never to the
 * pickup (ours: what leads back in stands at the end of the first ending, common practice). Bars
 * with an ending are left out on the other passes.
 * @returns Stretches of written time, neighbours joined; at least one.
 */
export function unfold(p: Pick<Phrase, 'pickup' | 'bars' | 'length'>): readonly Pass[] {
  const spans = barSpans(p);
  const passes: Pass[] = [];
  let played: Ticks = 0;
  for (const span of playedBars(spans)) {
    const last = passes.at(-1);
    if (last !== undefined && last.end === span.start) {
      passes[passes.length - 1] = { ...last, end: span.end };
    } else passes.push({ start: span.start, end: span.end, at: played });
    played += span.end - span.start;
  }
  return passes;
}

function playedBars(spans: readonly BarSpan[]): readonly BarSpan[] {
  const order: BarSpan[] = [];
  const firstBar = spans[0]?.number === 0 ? 1 : 0;
  let from = firstBar;
  let pass = 1;
  let i = 0;
  while (i < spans.length && order.length < MOST_BARS) {
    const span = spans[i]!;
    const { bar } = span;
    const newSection =
      (bar.repeatStart === true && i !== from) ||
      (bar.ending === undefined && i > 0 && spans[i - 1]!.bar.ending !== undefined && i !== from);
    if (newSection) {
      from = i;
      pass = 1;
    }
    if (bar.ending !== undefined && !bar.ending.includes(pass)) {
      i++;
      continue;
    }
    order.push(span);
    if (bar.repeatEnd !== undefined && pass < bar.repeatEnd) {
      pass++;
      i = from;
    } else {
      // A repeat that is done ends its section, unless other endings follow.
      if (bar.repeatEnd !== undefined && bar.ending === undefined) {
        from = i + 1;
        pass = 1;
      }
      i++;
    }
  }
  return order;
}

/** Length of all passes in ticks. */
export function playedTicks(passes: readonly Pass[]): Ticks {
  const last = passes.at(-1);
  return last === undefined ? 0 : last.at + last.end - last.start;
}

/** The written tick that is played at a played tick; the end of the last pass for later ones. */
export function writtenTick(passes: readonly Pass[], played: Ticks): Ticks {
  for (const pass of passes) {
    if (played < pass.at + pass.end - pass.start) return pass.start + Math.max(0, played - pass.at);
  }
  return passes.at(-1)?.end ?? 0;
}

/** The first played tick at which a written one is heard; the end for one that is never played. */
export function playedTick(passes: readonly Pass[], written: Ticks): Ticks {
  const pass = passes.find((x) => written >= x.start && written < x.end);
  return pass === undefined ? playedTicks(passes) : pass.at + written - pass.start;
}
