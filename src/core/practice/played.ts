import { barAt, meterTicks } from '../phrase/time';
import type { Phrase, Ticks } from '../phrase/types';
import type { StringPart } from '../sound/parts';
import { perform } from '../sound/perform';
import type { Performance, Seconds, Sound } from '../sound/types';
import { playedTicks } from '../sound/unfold';
import { beginOf, missing } from './beats';
import type { Practice } from './types';

/** Seconds that rounding may make of nothing. */
const ROUNDING: Seconds = 1e-9;

/** What is played of a take, and how long a round of it lasts. */
export interface Played extends Pick<Performance, 'passes' | 'secondsPerTick' | 'sounds'> {
  readonly from: Ticks;
  readonly ticks: Ticks;
}

/** @param speed Percent. */
export function playedOf(
  p: Phrase,
  practice: Pick<Practice, 'stretch' | 'endless' | 'answer' | 'cycle'>,
  speed: number,
): Played {
  const { stretch } = practice;
  const whole = perform(p, { speed: speed / 100, repeats: stretch === null });
  const { secondsPerTick: perTick } = whole;
  if (stretch === null) {
    const ticks = playedTicks(whole.passes);
    const joins = practice.endless || practice.answer || practice.cycle.kind !== 'same';
    const filled = joins ? ticks + missing(p, 0, p.length, 'bar') : ticks;
    const moves = practice.cycle.kind !== 'same';
    const sounds = moves ? endedBy(whole.sounds, filled * perTick) : whole.sounds;
    return { passes: whole.passes, secondsPerTick: perTick, sounds, from: 0, ticks: filled };
  }
  const from = Math.max(0, Math.min(stretch.from, p.length - 1));
  const to = Math.max(from + 1, Math.min(stretch.to, p.length));
  const ticks = to - from + (practice.endless ? missing(p, from, to, stretch.fills) : 0);
  // Swing can carry a note over the end of what somebody chose: it belongs to what follows.
  const own = whole.sounds.filter(
    (s) => s.tick >= from && s.tick < to && s.onset < to * perTick - ROUNDING,
  );
  return {
    passes: [{ start: from, end: to, at: 0 }],
    secondsPerTick: perTick,
    sounds: endedBy(begunAt(own, from * perTick), (to - from) * perTick),
    from,
    ticks,
  };
}

/** What of a part falls into a stretch, its onsets counted from there. */
export function partWithin(part: StringPart, from: Seconds, length: Seconds): StringPart {
  const own = part.sounds.filter((s) => isWithin(s.onset, from, length));
  return { ...part, sounds: endedBy(begunAt(own, from), length) };
}

/** Whether something begins in a stretch. */
export function isWithin(onset: Seconds, from: Seconds, length: Seconds): boolean {
  return onset >= from - ROUNDING && onset < from + length - ROUNDING;
}
/** Sounds as they are where nothing went before: a string that is not sounding cannot be hammered on. */
function begunAt(sounds: readonly Sound[], from: Seconds): readonly Sound[] {
  const struck = new Set<number>();
  return sounds.map((s) => {
    const first = !struck.has(s.string);
    struck.add(s.string);
    const begin = first && s.begin !== 'tapped' ? 'plucked' : s.begin;
    return { ...s, begin, onset: Math.max(0, s.onset - from) };
  });
}

/** Nothing rings on into what comes after. */
function endedBy(sounds: readonly Sound[], end: Seconds): readonly Sound[] {
  return sounds.map((s) =>
    s.onset + s.length <= end ? s : { ...s, length: Math.max(0, end - s.onset) },
  );
}

/** How long is counted, and where in its bar the music begins. */
export function countInOf(p: Phrase, { stretch, countIn }: Pick<Practice, 'stretch' | 'countIn'>) {
  const from = Math.max(0, Math.min(stretch?.from ?? 0, p.length - 1));
  const bar = barAt(p, from);
  const { meter } = bar.bar;
  const full = meterTicks(meter);
  const offset = from - beginOf(bar);
  const short = (countIn - (offset > 0 ? 1 : 0)) * full + offset;
  // Two beats before a long pickup are too few to feel the tempo.
  const length = short < (countIn - 0.5) * full ? short + full : short;
  return { meter, offset, length };
}
