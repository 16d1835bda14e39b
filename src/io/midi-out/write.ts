import { type Phrase, TICKS_PER_QUARTER } from '../../core/phrase/types';
import { centsAt } from '../../core/sound/curve';
import { velocityOf } from '../../core/sound/loudness';
import { type PerformOptions, perform } from '../../core/sound/perform';
import { type ToneName, toneOf } from '../../core/sound/tone';
import type { Performance, Sound } from '../../core/sound/types';
import { meta, midiFile, type TrackEvent, textMeta } from './bytes';
import { conductor } from './conductor';

export interface MidiOptions extends PerformOptions {
  /** The instrument's own where absent. */
  readonly tone?: ToneName;
}

/** Zero-based General MIDI programs of the tones (MIDI 1.0, General MIDI System Level 1); a ukulele is a nylon guitar. */
export const PROGRAMS: Readonly<Record<ToneName, number>> = {
  clean: 27,
  driven: 30,
  steel: 25,
  nylon: 24,
  bass: 33,
  ukulele: 24,
};

/**
 * A Standard MIDI File of format 1, 10,080 ticks to a quarter: the first track holds tempo, meters,
 * key, chords and degrees, then comes a track and a channel a string, so that every string of a double
 * stop can be bent by its own width. Pitch bends follow the curve to within a cent; the bend range is
 * declared by RPN 0 in the order of MIDI 1.0.
 */
export function writeMidi(p: Phrase, o: MidiOptions = {}): Uint8Array<ArrayBuffer> {
  const played = perform(p, o);
  const range = bendRange(played.sounds);
  const strings = p.instrument.tuning.map((_, i) => i + 1);
  const program = PROGRAMS[o.tone ?? toneOf(p)];
  const tracks = strings.map((string) => {
    const channel = channelOf(string);
    const own = played.sounds.filter((s) => s.string === string);
    return [
      ...head(string, channel, program, range),
      ...own.flatMap((s) => note(s, channel, range, played)),
    ];
  });
  return midiFile(TICKS_PER_QUARTER, [conductor(p, played), ...tracks]);
}

/** Zero-based channel of a string; the tenth is kept for drums (General MIDI). */
export function channelOf(string: number): number {
  return string <= 9 ? string - 1 : string;
}

/** Ranges that may be declared, in semitones: the smallest that holds every curve. */
const RANGES = [12, 24, 48] as const;

function bendRange(sounds: readonly Sound[]): number {
  let most = 0;
  for (const s of sounds) {
    const dips = s.dips?.reduce((sum, d) => sum + d.depth, 0) ?? 0;
    for (const c of s.curve) {
      most = Math.max(most, Math.abs(c.cents) + Math.abs(s.shake?.depth ?? 0) + dips);
    }
  }
  return RANGES.find((r) => most <= 100 * r) ?? RANGES[2];
}

/** Name, program and bend range of a string's channel; RPN: MSB, LSB, data entry, then null. */
function head(string: number, channel: number, program: number, range: number): TrackEvent[] {
  const control = (number: number, value: number) => [0xb0 | channel, number, value];
  const messages = [
    textMeta(0x03, `String ${string}`),
    meta(0x20, [channel]),
    [0xc0 | channel, program],
    control(101, 0),
    control(100, 0),
    control(6, range),
    control(38, 0),
    control(101, 127),
    control(100, 127),
  ];
  return messages.map((bytes, i) => ({ at: 0, rank: i - messages.length, bytes }));
}

/** Ranks at one moment: what ends, then the bend, then what begins. */
const RANK = { off: 0, bend: 1, on: 2 } as const;

/** The curve is looked at so often, in seconds; more often where it is steep, so that no step is over a cent. */
const LOOK = 0.000_25;

function lookOf(s: Sound): number {
  let steepest = Math.PI * Math.abs((s.shake?.depth ?? 0) * (s.shake?.hertz ?? 0));
  for (const d of s.dips ?? []) steepest += (2 * d.depth) / d.length;
  let line = 0;
  s.curve.forEach((c, i) => {
    const before = s.curve[i - 1];
    if (before === undefined) return;
    line = Math.max(line, Math.abs(c.cents - before.cents) / (c.at - before.at));
  });
  return Math.min(LOOK, 0.5 / (steepest + line));
}

function note(s: Sound, channel: number, range: number, played: Performance): TrackEvent[] {
  const tick = (seconds: number) => Math.round(seconds / played.secondsPerTick);
  const on = tick(s.onset);
  const off = Math.max(on + 1, tick(s.onset + s.length));
  const events: TrackEvent[] = [
    { at: on, rank: RANK.on, bytes: [0x90 | channel, s.midi, velocityOf(s.level)] },
    { at: off, rank: RANK.off, bytes: [0x80 | channel, s.midi, 64] },
  ];
  let sent: number | null = null;
  const moves = s.curve.length > 1 || s.shake !== undefined || s.dips !== undefined;
  const look = lookOf(s);
  const steps = moves ? Math.ceil(s.length / look) : 0;
  for (let i = 0; i <= steps; i++) {
    const t = Math.min(s.length, i * look);
    const value = Math.round(centsAt(s, t));
    if (value === sent) continue;
    sent = value;
    const at = Math.min(off - 1, Math.max(on, tick(s.onset + t)));
    events.push({
      at,
      rank: at === on ? RANK.bend : RANK.on + 1,
      bytes: bend(channel, value, range),
    });
  }
  return events;
}

/** Pitch bend of 14 bits about 8192, LSB first (MIDI 1.0). */
function bend(channel: number, cents: number, range: number): readonly number[] {
  const value = Math.max(0, Math.min(16_383, 8192 + Math.round((cents / (100 * range)) * 8192)));
  return [0xe0 | channel, value & 0x7f, value >> 7];
}
