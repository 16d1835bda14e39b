import { velocityOf } from '../../core/sound/loudness';
import { bendMessage, bendRange, bendSteps, setUpMessages } from '../../core/sound/midi-bend';
import { channelOf, DRUM_CHANNEL, DRUM_KEYS, PROGRAMS } from '../../core/sound/midi-channels';
import type { Parts, StringPart } from '../../core/sound/parts';
import type { Seconds, Sound } from '../../core/sound/types';

/** A message to an instrument that is connected. */
export interface TimedMessage {
  /** Seconds from the beginning; 0 for what is told before anything sounds. */
  readonly at: Seconds;
  /** One message of MIDI 1.0. */
  readonly bytes: readonly number[];
}

/** Ranks at one moment: what ends, then the bend, then what begins. */
const RANK = { setUp: -1, off: 0, bend: 1, on: 2 } as const;

type Ranked = TimedMessage & { readonly rank: number };

/** A drum stroke is held so long. */
const STROKE: Seconds = 0.05;

/**
 * Everything that is heard together as messages, ascending in time: a channel a string for the phrase, one
 * for the bass, one for the comping, the tenth for the drums, as in our files. Pure; whoever sends them adds
 * the time at which the beginning is.
 */
export function scheduleMidi(parts: Parts): readonly TimedMessage[] {
  const { phrase, backing } = parts;
  const strings = phrase?.instrument.tuning.length ?? 0;
  const out: Ranked[] = [];
  if (phrase !== null) out.push(...phraseMessages(phrase));
  if (backing !== null) {
    const { bass, comping } = backing;
    if (bass !== null) out.push(...onOneChannel(bass, channelOf(strings + 1)));
    if (comping !== null) out.push(...onOneChannel(comping, channelOf(strings + 2)));
    for (const d of backing.drums) {
      const key = DRUM_KEYS[d.drum];
      out.push(...struck(DRUM_CHANNEL, key, d.onset, d.onset + STROKE, d.level));
    }
  }
  return out.sort((a, b) => a.at - b.at || a.rank - b.rank).map(({ at, bytes }) => ({ at, bytes }));
}

/** What ends all sound at once: notes off (controller 123), and the bend back, on every channel. */
export function silenceMidi(): readonly (readonly number[])[] {
  return Array.from({ length: 16 }, (_, channel) => [
    [0xb0 | channel, 123, 0],
    bendMessage(channel, 0, 2),
  ]).flat();
}

function phraseMessages(part: StringPart): readonly Ranked[] {
  const range = bendRange(part.sounds);
  const setUp = part.instrument.tuning.flatMap((_, i) =>
    setUpMessages(channelOf(i + 1), PROGRAMS[part.tone], range),
  );
  const sounds = part.sounds.flatMap((s): readonly Ranked[] => {
    const channel = channelOf(s.string);
    return [
      ...struck(channel, s.midi, s.onset, s.onset + s.length, s.level),
      ...bent(s, channel, range),
    ];
  });
  return [...setUp.map((bytes) => ({ at: 0, rank: RANK.setUp, bytes })), ...sounds];
}

function bent(s: Sound, channel: number, range: number): readonly Ranked[] {
  return bendSteps(s).map(({ at, cents }) => ({
    at: s.onset + at,
    rank: at === 0 ? RANK.bend : RANK.on + 1,
    bytes: bendMessage(channel, cents, range),
  }));
}

/** An instrument whose strings are not bent: a key that is struck again ends first. */
function onOneChannel(part: StringPart, channel: number): readonly Ranked[] {
  const next = new Map<number, Seconds>();
  const out: Ranked[] = [{ at: 0, rank: RANK.setUp, bytes: [0xc0 | channel, PROGRAMS[part.tone]] }];
  for (const s of [...part.sounds].sort((a, b) => b.onset - a.onset)) {
    const end = Math.min(s.onset + s.length, next.get(s.midi) ?? Number.POSITIVE_INFINITY);
    out.push(...struck(channel, s.midi, s.onset, end, s.level));
    next.set(s.midi, s.onset);
  }
  return out;
}

function struck(
  channel: number,
  key: number,
  on: Seconds,
  off: Seconds,
  level: number,
): readonly Ranked[] {
  return [
    { at: on, rank: RANK.on, bytes: [0x90 | channel, key, velocityOf(level)] },
    { at: Math.max(off, on + 0.001), rank: RANK.off, bytes: [0x80 | channel, key, 64] },
  ];
}
