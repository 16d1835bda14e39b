import type { PlayedTo } from '../../core/heard/clock';
import { type LastPhrase, lastPhrase, lastRound, type Span, struckIn } from '../../core/heard/span';
import type { Heard } from '../../core/heard/types';
import { fail, ok, type Result } from '../../core/result';
import type { RunningClock } from './messages';

/** Seconds of sound around a part, so that its first note is heard as it began and its last one rings on. */
const AROUND = 0.5;
/** So much is looked through first for the last phrase, in seconds; then twice as much, until it is found whole. */
const LOOKED_AT = 20;
/** A note is struck no earlier than this before it was heard to begin, in seconds. */
const ATTACK = 0.1;

/** A part of what is remembered. */
export interface Part {
  /** Its sound, in seconds of all that is remembered. */
  readonly sound: Span;
  /** What of that sound is meant, by the onsets of its notes: in seconds of the sound. */
  readonly within: (onsets: readonly number[], to: PlayedTo | null) => Span;
  /** What it was played to, in seconds of the sound. */
  readonly playedTo: PlayedTo | null;
}

/** The clock of the device as a recording of so many seconds has it, which ended `before` seconds ago. */
export function clockIn(seconds: number, clock: RunningClock, before = 0): PlayedTo {
  const { bpm, round, ago, measured } = clock;
  return { bpm, round, measured, begin: seconds + before - ago };
}

/** The last whole round of the form. @param seconds That are remembered. */
export function lastRoundOf(seconds: number, clock: RunningClock | null): Result<Part> {
  if (clock === null || clock.form === null) {
    return fail({
      message: 'nothing with a round was played to yet',
      fix: 'Play to the band, or write chords and play to a click: the round is as long as they are.',
    });
  }
  const to = { ...clockIn(seconds, clock), round: clock.form };
  const round = lastRound(to, seconds - (clock.ago - clock.ran));
  if (round === null) {
    return fail({
      message: 'no round is remembered whole yet',
      fix: 'Play to the end of the round, or keep the last phrase.',
    });
  }
  const sound = around(round, AROUND, AROUND, seconds);
  const playedTo = { ...to, begin: round.from - sound.from };
  const inSound = { from: playedTo.begin, to: playedTo.begin + to.round };
  return ok({ sound, playedTo, within: (onsets) => struckIn(inSound, onsets, playedTo) });
}

/**
 * What was played since the last long rest.
 * @param seconds That are remembered.
 * @param rest Seconds that are a long rest.
 * @param hear Hears the newest so many seconds.
 */
export function lastPhraseOf(
  seconds: number,
  rest: number,
  clock: RunningClock | null,
  hear: (newest: number) => Heard,
): Result<Part> {
  let found: LastPhrase | null = null;
  let looked = 0;
  for (let most = LOOKED_AT; looked < seconds && found?.whole !== true; most *= 2) {
    looked = Math.min(most, seconds);
    found = lastPhrase(hear(looked), rest);
  }
  if (found === null) {
    return fail({
      message: 'no phrase was heard in what is remembered',
      fix: 'Play a little louder, or nearer to the microphone, and keep it then.',
    });
  }
  const { span, before, after } = found;
  const all = { from: span.from + seconds - looked, to: span.to + seconds - looked };
  const sound = around(all, Math.min(AROUND, before / 2), Math.min(AROUND, after / 2), seconds);
  const length = sound.to - sound.from;
  const within = { from: all.from - sound.from - ATTACK, to: all.to - sound.from };
  return ok({
    sound,
    within: () => within,
    playedTo: clock === null ? null : clockIn(length, clock, seconds - sound.to),
  });
}

function around({ from, to }: Span, before: number, after: number, seconds: number): Span {
  return { from: Math.max(0, from - before), to: Math.min(seconds, to + after) };
}
