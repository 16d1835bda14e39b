import { velocityOf } from '../../core/sound/loudness';
import { bendMessage, bendRange, bendSteps, setUpMessages } from '../../core/sound/midi-bend';
import { channelOf, DRUM_CHANNEL, DRUM_KEYS, PROGRAMS } from '../../core/sound/midi-channels';
import type { Click, PartName, Parts, StringPart } from '../../core/sound/parts';
import type { Seconds, Sound } from '../../core/sound/types';

/** A message to an instrument that is connected. */
export interface TimedMessage {
  /** Seconds from the beginning; 0 for what is told before anything sounds. */
  readonly at: Seconds;
  /** One message of MIDI 1.0. */
  readonly bytes: readonly number[];
  /** Of a note that begins: what its velocity was made of, so that a mixer can change it. */
  readonly loud?: { readonly part: PartName; readonly level: number };
}

/** Ranks at one moment: what ends, then the bend, then what begins. */
const RANK = { setUp: -1, off: 0, bend: 1, on: 2 } as const;

type Ranked = TimedMessage & { readonly rank: number };

/** A drum stroke is held so long. */
const STROKE: Seconds = 0.05;

/** Keys of the metronome on the percussion channel: high and low wood block (General MIDI System Level 1). */
const CLICK_KEYS: Readonly<Record<Click['beat'], number>> = { first: 76, beat: 77, part: 77 };
/** Parts of a beat have the key of the beat, more softly. Decibels (ours). */
const PART_LEVEL = -5;

/**
 * Everything that is heard together as messages, ascending in time: a channel a string for the phrase, one
 * for the bass, one for the comping, the tenth for drums and metronome, as in our files. Pure; whoever sends them adds
 * the time at which the beginning is.
 */
export function scheduleMidi(parts: Parts): readonly TimedMessage[] {
  const { phrase, backing, click } = parts;
  const strings = phrase?.instrument.tuning.length ?? 0;
  const out: Ranked[] = [];
  if (phrase !== null) out.push(...phraseMessages(phrase));
  if (backing !== null) {
    const { bass, comping } = backing;
    if (bass !== null) out.push(...onOneChannel('bass', bass, channelOf(strings + 1)));
    if (comping !== null) out.push(...onOneChannel('comping', comping, channelOf(strings + 2)));
    for (const { drum, onset, level } of backing.drums) {
      const loud = { part: 'drums', level } as const;
      out.push(...struck(DRUM_CHANNEL, DRUM_KEYS[drum], onset, onset + STROKE, loud));
    }
  }
  for (const { beat, onset, level } of click) {
    const loud = { part: 'click', level: level + (beat === 'part' ? PART_LEVEL : 0) } as const;
    out.push(...struck(DRUM_CHANNEL, CLICK_KEYS[beat], onset, onset + STROKE, loud));
  }
  return out.sort((a, b) => a.at - b.at || a.rank - b.rank).map(({ rank, ...m }) => m);
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
      ...struck(channel, s.midi, s.onset, s.onset + s.length, { part: 'phrase', level: s.level }),
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
function onOneChannel(name: PartName, part: StringPart, channel: number): readonly Ranked[] {
  const next = new Map<number, Seconds>();
  const out: Ranked[] = [{ at: 0, rank: RANK.setUp, bytes: [0xc0 | channel, PROGRAMS[part.tone]] }];
  for (const s of [...part.sounds].sort((a, b) => b.onset - a.onset)) {
    const end = Math.min(s.onset + s.length, next.get(s.midi) ?? Number.POSITIVE_INFINITY);
    out.push(...struck(channel, s.midi, s.onset, end, { part: name, level: s.level }));
    next.set(s.midi, s.onset);
  }
  return out;
}

function struck(
  channel: number,
  key: number,
  on: Seconds,
  off: Seconds,
  loud: NonNullable<TimedMessage['loud']>,
): readonly Ranked[] {
  return [
    { at: on, rank: RANK.on, bytes: [0x90 | channel, key, velocityOf(loud.level)], loud },
    { at: Math.max(off, on + 0.001), rank: RANK.off, bytes: [0x80 | channel, key, 64] },
  ];
}
