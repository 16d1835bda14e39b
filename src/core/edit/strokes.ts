import { SHORTEST_TICKS } from '../phrase/note-value';
import { beatTicks, isCompound, meterTicks } from '../phrase/time';
import type { Phrase, PhraseEvent, Ticks, Tuplet } from '../phrase/types';
import { barOver } from '../phrase/voices';
import { tupletOver } from './select';

/** A moment that is struck, and what the hand counts there. */
interface Counted {
  readonly onset: Ticks;
  /** Beginning of its full bar, that of a pickup before the phrase (T2). */
  readonly bar: Ticks;
  readonly beat: Ticks;
  readonly parts: number;
  readonly tuplet: Tuplet | null;
}

/**
 * Whether each moment is struck with the beat (true) or against it, as a hand that never stops goes
 * in alternate picking: it swings in the values that are played, with the beat on their even places
 * (common practice). Quarters take turns by the beats of their bar; where a bar has shorter values,
 * its beats go all the same way and each beat is divided by what is played in it. Tuplets that
 * follow each other are counted on. Where most lengths were only guessed the order alone counts.
 * @param events ascending, of one voice.
 */
export function strokesOf(
  p: Phrase,
  tuplets: readonly Tuplet[],
  events: readonly PhraseEvent[],
): readonly boolean[] {
  const guessed = events.filter((e) => e.guessed === true).length;
  if (2 * guessed > events.length) return events.map((_, i) => i % 2 === 0);
  const counted = events.map((e): Counted => {
    const { bar, start, end, number } = barOver(p, e.onset);
    const { meter } = bar;
    return {
      onset: e.onset,
      bar: number === 0 ? end - meterTicks(meter) : start,
      beat: beatTicks(meter),
      parts: isCompound(meter) ? 3 : 2,
      tuplet: tupletOver({ events, tuplets }, e.onset),
    };
  });
  let before: { readonly tuplet: Tuplet; readonly unit: Ticks; readonly from: number } | null =
    null;
  return counted.map((c) => {
    const { tuplet } = c;
    if (tuplet === null) {
      before = null;
      return placeInBar(c, counted) % 2 === 0;
    }
    if (before?.tuplet !== tuplet) {
      const own = counted.filter((x) => x.tuplet === tuplet).map((x) => x.onset - tuplet.onset);
      const unit = halvedFor(tuplet.duration / tuplet.actual, own);
      const joins =
        before !== null &&
        before.unit === unit &&
        before.tuplet.onset + before.tuplet.duration === tuplet.onset;
      const from: number =
        before !== null && joins ? before.from + before.tuplet.duration / unit : 0;
      before = { tuplet, unit, from };
    }
    return (before.from + (c.onset - tuplet.onset) / before.unit) % 2 === 0;
  });
}

/** The number of the swing a moment falls on, from 0 with its bar or its beat. */
function placeInBar(c: Counted, all: readonly Counted[]): number {
  const { beat, parts } = c;
  const inBar = all.filter((x) => x.bar === c.bar);
  const plain = inBar.filter((x) => x.tuplet === null).map((x) => x.onset - c.bar);
  const at = c.onset - c.bar;
  const divided = inBar.some((x) => x.tuplet !== null) || plain.some((t) => t % beat !== 0);
  if (!divided) {
    const unit = [4 * beat, 2 * beat].find((u) => plain.every((t) => t % u === 0)) ?? beat;
    return at / unit;
  }
  const part = beat / parts;
  const inBeat = plain.filter((t) => Math.floor(t / beat) === Math.floor(at / beat));
  const unit = halvedFor(
    part,
    inBeat.map((t) => t % beat),
  );
  // The eighths of a dotted beat are three, so that they are counted on through the bar.
  return parts === 3 && unit === part ? at / part : (at % beat) / unit;
}

/** A value halved until every moment falls on one. */
function halvedFor(value: Ticks, moments: readonly Ticks[]): Ticks {
  let unit = value;
  while (unit > SHORTEST_TICKS / 15 && moments.some((t) => t % unit !== 0)) unit /= 2;
  return unit;
}
