import type { Phrase, Tempo, Ticks } from '../phrase/types';
import { TICKS_PER_QUARTER } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { type EventTime, eventSounds, type RawSound } from './event';
import { levels } from './loudness';
import type { SlideManner } from './motion';
import { swingOf } from './swing';
import type { Pass, Performance, Sound } from './types';
import { playedTicks, unfold } from './unfold';

export interface PerformOptions {
  /** 1 as written, 0.5 half as fast; the pitch stays. Greater than 0. */
  readonly speed?: number;
  /** As it is heard (T3), or as it is written. */
  readonly swing?: 'heard' | 'written';
  /** Whether repeats and endings are played, or the bars once as they stand on the page. */
  readonly repeats?: boolean;
  /** Whether slides between frets glide, or step from fret to fret. */
  readonly slides?: SlideManner;
}

/** A string that is let ring is heard so long at most. */
const RINGS = 6;

/** Two sounds of a string nearer than this are joined. */
const JOINED = 0.005;

const TEMPO_TICKS: Readonly<Record<Tempo['unit'], Ticks>> = {
  eighth: TICKS_PER_QUARTER / 2,
  quarter: TICKS_PER_QUARTER,
  'dotted-quarter': 1.5 * TICKS_PER_QUARTER,
  half: 2 * TICKS_PER_QUARTER,
};

/** Seconds for one tick at a tempo. */
export function secondsPerTick(tempo: Tempo, speed = 1): number {
  return 60 / (tempo.bpm * TEMPO_TICKS[tempo.unit] * speed);
}

/**
 * The phrase as sound: repeats unfolded, swing applied, every technique as a pitch curve, a way of
 * beginning and a manner. Nothing here is random, so the player, files of audio and MIDI agree.
 */
export function perform(p: Phrase, o: PerformOptions = {}): Performance {
  const perTick = secondsPerTick(p.tempo, o.speed);
  const passes = o.repeats === false ? [{ start: 0, end: p.length, at: 0 }] : unfold(p);
  const raw = writtenSounds(p, o, perTick);
  const played = passes.flatMap((pass, i) => {
    const next = passes[i + 1];
    const jumps = next !== undefined && next.start !== pass.end;
    return raw
      .filter((s) => s.tick >= pass.start && s.tick < pass.end)
      .map((s) => movedTo(s, pass, jumps, perTick));
  });
  const sounds = withBarDips(damped(played));
  return { sounds, passes, length: playedTicks(passes) * perTick, secondsPerTick: perTick };
}

/** Everything in written order, each event once. */
function writtenSounds(p: Phrase, o: PerformOptions, perTick: number): readonly RawSound[] {
  const level = levels(p);
  return p.voices.flatMap((voice, v) => {
    const swing = o.swing === 'written' ? (t: Ticks) => t : swingOf(p, voice);
    return voice.events.flatMap((e, index) => {
      const from = swing(e.onset) * perTick;
      const time: EventTime = {
        from,
        length: swing(endOf(e)) * perTick - from,
        level: level(e.onset),
      };
      const at = { instrument: p.instrument, events: voice.events, index, voice: v === 0 ? 0 : 1 };
      return eventSounds({ ...at, voice: v === 0 ? 0 : 1 }, time, o.slides ?? 'gliding');
    });
  });
}

/** The sound in a pass; at a jump back or ahead it ends with the bar. */
function movedTo(s: RawSound, pass: Pass, jumps: boolean, perTick: number): RawSound {
  const onset = s.onset + (pass.at - pass.start) * perTick;
  const end = (pass.at + pass.end - pass.start) * perTick;
  const length = jumps && !s.rings ? Math.min(s.length, Math.max(0, end - onset)) : s.length;
  return { ...s, onset, length };
}

/**
 * One sound a string at a time: a string that is struck again is damped, one that is let ring sounds
 * until then. What would continue a string that does not sound is plucked instead.
 */
function damped(all: readonly RawSound[]): readonly Sound[] {
  const sounds: Sound[] = [];
  const byString = new Map<number, RawSound[]>();
  for (const s of all) byString.set(s.string, [...(byString.get(s.string) ?? []), s]);
  for (const list of byString.values()) {
    list.sort((a, b) => a.onset - b.onset);
    let sounding = Number.NEGATIVE_INFINITY;
    list.forEach((s, i) => {
      const next = list[i + 1];
      const { rings, ...sound } = s;
      const wished = rings ? Math.max(s.length, RINGS) : s.length;
      const room = next === undefined ? wished : next.onset - s.onset;
      const length = Math.min(wished, room);
      const alone = s.onset - sounding > JOINED;
      const begin = alone && s.begin !== 'tapped' ? 'plucked' : s.begin;
      // Two voices on one string at one moment are one sound.
      if (length > 0) {
        sounds.push({ ...sound, begin, length });
        sounding = s.onset + length;
      }
    });
  }
  return sounds.sort((a, b) => a.onset - b.onset || a.string - b.string);
}

/** The bar moves every string: each sound takes part in the dips that fall into its time. */
function withBarDips(sounds: readonly Sound[]): readonly Sound[] {
  const dips = sounds.flatMap((s) => (s.dips ?? []).map((d) => ({ ...d, from: d.from + s.onset })));
  if (dips.length === 0) return sounds;
  const distinct = dips.filter(
    (d, i) => dips.findIndex((e) => e.from === d.from && e.depth >= d.depth) === i,
  );
  return sounds.map((s) => {
    const end = s.onset + s.length;
    const own = distinct
      .filter((d) => d.from < end && d.from + d.length > s.onset)
      .map((d) => ({ ...d, from: d.from - s.onset }));
    const { dips: _, ...still } = s;
    return own.length === 0 ? still : { ...still, dips: own };
  });
}
