import {
  type AsPlayed,
  MOST_CORRECTED,
  PLAYED_VERSION,
  playedSound,
} from '../../core/heard/played';
import { meterTicks } from '../../core/phrase/time';
import { notesOf } from '../../core/phrase/walk';
import type { CaughtPhrase } from './phrases';
import type { Take } from './take';

/** What goes with a phrase before its first note and after its last, in seconds. */
const KEPT_BEFORE = 0.3;
export const KEPT_AFTER = 0.5;

/** Seconds of sound that are kept with a phrase, at most. */
export function secondsOf({ from, to }: Pick<CaughtPhrase, 'from' | 'to'>): number {
  return KEPT_BEFORE + to - from + KEPT_AFTER;
}

/** The second of the recording from which a phrase is kept. */
export const keptFrom = ({ from }: Pick<CaughtPhrase, 'from'>): number =>
  Math.max(0, from - KEPT_BEFORE);

/** Seconds at which the bars of a take begin, up to a moment of the recording. */
export function barsOf(
  { meter, secondsPerTick, start }: Pick<Take, 'meter' | 'secondsPerTick' | 'start'>,
  to: number,
): readonly number[] {
  const bar = meterTicks(meter) * secondsPerTick;
  const count = Math.max(0, Math.ceil((to - start) / bar));
  return Array.from({ length: count }, (_, i) => start + i * bar);
}

/**
 * How a phrase was played, beside what is written.
 * @param id Of the phrase in the library.
 * @param bars Seconds of the recording at which bars begin.
 * @param corrected What was changed of what was heard, in words.
 */
export function playedFor(
  caught: CaughtPhrase,
  id: string,
  bars: readonly number[],
  kept: string,
  corrected: readonly string[],
): AsPlayed {
  const { phrase, heard, to, begin } = caught;
  const from = keptFrom(caught);
  const end = to + KEPT_AFTER;
  const sounds = notesOf(phrase).flatMap(({ note }) => {
    const n = heard.get(note.id);
    return n === undefined ? [] : [playedSound(note.id, n, from)];
  });
  return {
    ...{ format: 'degreewise-played', version: PLAYED_VERSION, id, kept },
    seconds: end - from,
    begin: begin - from,
    bars: bars.filter((at) => at >= from && at <= end).map((at) => at - from),
    sounds: sounds.sort((a, b) => a.onset - b.onset),
    corrected: corrected.slice(-MOST_CORRECTED),
  };
}
