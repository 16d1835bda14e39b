import { type Instrument, type Phrase, TICKS_PER_QUARTER } from '../../core/phrase/types';
import type { Round } from '../../core/practice/rounds';
import { velocityOf } from '../../core/sound/loudness';
import { bendMessage, bendRange, bendSteps, setUpMessages } from '../../core/sound/midi-bend';
import { channelOf, PROGRAMS } from '../../core/sound/midi-channels';
import { type PerformOptions, perform } from '../../core/sound/perform';
import { type ToneName, toneOf } from '../../core/sound/tone';
import type { Sound } from '../../core/sound/types';
import { playedTicks } from '../../core/sound/unfold';
import { formatPitch } from '../../core/theory/pitch';
import { bandTracks } from './band';
import { meta, midiFile, type TrackEvent, textMeta } from './bytes';
import { conductor } from './conductor';
import { scoreContents } from './score';

export { channelOf, PROGRAMS } from '../../core/sound/midi-channels';

export interface MidiOptions extends PerformOptions {
  /** The instrument's own where absent. */
  readonly tone?: ToneName;
  /** Whether what is written goes along, to be read again (`score.ts`); it does where absent. */
  readonly score?: boolean;
}

/**
 * A Standard MIDI File of format 1, 10,080 ticks to a quarter: the first track holds tempo, meters,
 * key, chords and degrees, then comes a track and a channel a string, so that every string of a double
 * stop can be bent by its own width. Pitch bends follow the curve to within a cent; the bend range is
 * declared by RPN 0 in the order of MIDI 1.0.
 */
export function writeMidi(p: Phrase, o: MidiOptions = {}): Uint8Array<ArrayBuffer> {
  const played = perform(p, o);
  const ticks = playedTicks(played.passes);
  const round = { phrase: p, at: 0, ticksBefore: 0, played, backing: null, ticks };
  return writeMidiRounds([round], o.tone ?? toneOf(p), o.score === false ? null : o);
}

/**
 * The same of rounds one after the other; bass, comping and drums are further tracks (`band.ts`).
 * @param o How they were performed; where given, what is written of a single one goes along (`score.ts`).
 */
export function writeMidiRounds(
  rounds: readonly Round[],
  tone: ToneName,
  o: PerformOptions | null,
): Uint8Array<ArrayBuffer> {
  const range = bendRange(rounds.flatMap((r) => r.played.sounds));
  const count = Math.max(0, ...rounds.map((r) => r.phrase.instrument.tuning.length));
  const strings = Array.from({ length: count }, (_, i) => i + 1);
  const tracks = strings.map((string) => {
    const channel = channelOf(string);
    const notes = rounds.flatMap((r) =>
      r.played.sounds.filter((s) => s.string === string).flatMap((s) => note(s, channel, range, r)),
    );
    const { instrument } = rounds[0]!.phrase;
    return [...head(instrument, string, channel, PROGRAMS[tone], range), ...notes];
  });
  const last = rounds.at(-1);
  const length = last === undefined ? 0 : last.ticksBefore + last.ticks;
  const score = rounds.length === 1 && o !== null ? scoreContents(rounds[0]!.phrase, o) : null;
  const said: TrackEvent[] =
    score === null ? [] : [{ at: 0, rank: 7, bytes: meta(META_SEQUENCER, score) }];
  const all = [[...conductor(rounds), ...said], ...tracks, ...bandTracks(rounds, count)];
  return midiFile(TICKS_PER_QUARTER, all, length);
}

/** Type of a sequencer-specific meta event (Standard MIDI Files 1.0). */
const META_SEQUENCER = 0x7f;

/** Name, program and bend range of a string's channel; RPN: MSB, LSB, data entry, then null. */
function head(
  i: Instrument,
  string: number,
  channel: number,
  program: number,
  range: number,
): TrackEvent[] {
  const messages = [
    textMeta(0x03, `String ${string}`),
    textMeta(0x04, stringName(i, string)),
    meta(0x20, [channel]),
    ...setUpMessages(channel, program, range),
  ];
  return messages.map((bytes, k) => ({ at: 0, rank: k - messages.length, bytes }));
}

/** Instrument name (meta event 4): with it a reader knows frets from pitches. `Guitar: E4, capo 2`. */
function stringName(i: Instrument, string: number): string {
  const open = i.tuning[string - 1];
  const capo = i.capo === 0 ? '' : `, capo ${i.capo}`;
  return open === undefined ? i.name : `${i.name}: ${formatPitch(open)}${capo}`;
}

/** Ranks at one moment: what ends, then the bend, then what begins. */
const RANK = { off: 0, bend: 1, on: 2 } as const;

function note(s: Sound, channel: number, range: number, round: Round): TrackEvent[] {
  const { secondsPerTick } = round.played;
  const tick = (seconds: number) => round.ticksBefore + Math.round(seconds / secondsPerTick);
  const on = tick(s.onset);
  const off = Math.max(on + 1, tick(s.onset + s.length));
  const events: TrackEvent[] = [
    { at: on, rank: RANK.on, bytes: [0x90 | channel, s.midi, velocityOf(s.level)] },
    { at: off, rank: RANK.off, bytes: [0x80 | channel, s.midi, 64] },
  ];
  for (const { at: seconds, cents } of bendSteps(s)) {
    const at = Math.min(off - 1, Math.max(on, tick(s.onset + seconds)));
    events.push({
      at,
      rank: at === on ? RANK.bend : RANK.on + 1,
      bytes: bendMessage(channel, cents, range),
    });
  }
  return events;
}
