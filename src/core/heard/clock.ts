import { phaseOf } from './tempo';

/** A click or a band that somebody played to, as a recording has it. */
export interface PlayedTo {
  /** Beats a minute. */
  readonly bpm: number;
  /** Seconds after which it begins anew: a bar of clicks, once through the chords. */
  readonly round: number;
  /** Seconds of the recording at which the first round begins; before the recording, too. */
  readonly begin: number;
  /** Whether the delay of the device is in it already. */
  readonly measured: boolean;
}

/** A delay that nobody measured is no longer than this, in seconds, and than this share of a beat. */
const MOST_DELAY = 0.15;
const MOST_SHARE = 0.3;
/** A note struck so much before a round belongs to it, in seconds. */
export const STRUCK_EARLY = 0.1;

/**
 * Where the first round begins in a recording, in seconds: the last beginning before its first note. Where the
 * delay was not measured it is told from how late the notes lie on the beat, all together.
 * @param onsets Seconds, ascending.
 */
export function startOfRound(onsets: readonly number[], to: PlayedTo): number {
  const first = onsets[0] ?? 0;
  const begin = to.begin + lateness(onsets, to);
  return begin + to.round * Math.floor((first + STRUCK_EARLY - begin) / to.round);
}

/** Seconds by which all notes lie late where the delay was not measured; 0 where it was. */
export function lateness(onsets: readonly number[], to: PlayedTo): number {
  return to.measured ? 0 : delayFrom(onsets, 60 / to.bpm, to.begin);
}

function delayFrom(onsets: readonly number[], beat: number, begin: number): number {
  if (onsets.length === 0) return 0;
  const { phase } = phaseOf(onsets, beat);
  const late = (phase - begin) / beat;
  const seconds = (late - Math.floor(late)) * beat;
  return seconds <= Math.min(MOST_DELAY, MOST_SHARE * beat) ? seconds : 0;
}
