import type { PlayedTo } from '../../core/heard/clock';
import type { CatchSaid } from './messages';

/** A bar of clicks goes before the first round. */
const COUNT_IN = 4;

/** The clock it was played to, unless another tempo is said. */
export function clockOf(
  { playedTo }: { readonly playedTo: PlayedTo | null },
  { bpm }: CatchSaid,
): PlayedTo | null {
  return playedTo === null || (bpm !== undefined && bpm !== playedTo.bpm) ? null : playedTo;
}

/** Seconds of the recording at which the first click sounded. */
export const beganAt = ({ begin, bpm }: PlayedTo): number => begin - (COUNT_IN * 60) / bpm;
