import type { HeardNote } from '../../core/heard/types';
import type { Ticks } from '../../core/phrase/types';
import {
  divisionsFor,
  type Exactness,
  type GridBeat,
  type Loose,
  placed,
} from '../midi-in/quantise';

/** What of a written rhythm is unsure, and what it may be instead. */
export interface RhythmDoubt {
  readonly of: 'place' | 'length';
  /** By how many ticks it begins later (or earlier, negative) instead; how many it lasts instead. */
  readonly other: Ticks;
  /** A number by which the other one is asked for (`askedFor`). */
  readonly key: number;
  /** Whether it is the second-best one that is written, because somebody asked for it. */
  readonly taken: boolean;
}

/** Where a moment may begin as well. */
export interface OtherPlace {
  readonly at: Ticks;
  /** The beat divided so that it does. */
  readonly beats: readonly GridBeat[];
}

/**
 * A place is unsure where the second-best rhythm of its beat is no worse than this, in the unit of what a division
 * costs, and where it lies so many times what the hand is off beside its place (README: chosen on what is marked then).
 */
const NEARLY = 2;
const FAR = 2.6;

/** A whole beat of the metre, with all that is struck in it and all that has a say in it, ends too. */
export interface BeatMoments {
  readonly at: Ticks;
  readonly end: Ticks;
  /** Ticks, not rounded. */
  readonly moments: readonly number[];
  readonly loose: readonly Loose[];
}

/**
 * The second-best rhythm of a beat: for each moment the place that it has by the likeliest division of those by which it
 * does not stand where it does; null where its place is sure.
 */
export function otherPlaces(
  beat: BeatMoments,
  grid: readonly GridBeat[],
  o: Exactness,
): readonly (OtherPlace | null)[] {
  const { moments } = beat;
  const own = beat.loose.filter((l) => l.at >= beat.at - o.sigma && l.at < beat.end + o.sigma);
  const all = [...divisionsFor(beat, own, o)].sort((a, b) => a.cost - b.cost);
  const least = all[0]?.cost ?? 0;
  return moments.map((at) => {
    const now = placed(grid, at);
    const other = all.find((d) => placed(d.beats, at) !== now);
    if (other === undefined) return null;
    const near = other.cost - least <= NEARLY || Math.abs(at - now) > FAR * o.sigma;
    return near ? { at: placed(other.beats, at), beats: other.beats } : null;
  });
}

/** The grid with some beats divided otherwise. */
export function withBeats(
  grid: readonly GridBeat[],
  other: readonly (readonly GridBeat[])[],
): readonly GridBeat[] {
  return other.reduce((all, beats) => {
    const from = beats[0]!.at;
    const to = beats.at(-1)!.end;
    const before = all.filter((b) => b.end <= from);
    return [...before, ...beats, ...all.filter((b) => b.at >= to)];
  }, grid);
}

/** Under 0, where no answer of before lies; further apart than the seconds of a recording, and the pitches of these. */
const ASKED = { place: -1e9, length: -2e9 } as const;
const PITCH = 1e6;

/**
 * The number by which another rhythm of notes is asked for: of where they begin and of how long they last, of a string and
 * of one that is struck with it but lasts otherwise, each has its own, so that no answer is taken for another one.
 * @param asked Numbers that were asked for. One of any of the notes is theirs: the first may have been taken out since. Numbers of
 *   before *2026-11-28* were the seconds at which the first note begins, whatever was asked; they are still understood.
 */
export function askedFor(
  of: RhythmDoubt['of'],
  notes: readonly HeardNote[],
  asked: ReadonlySet<number>,
): Pick<RhythmDoubt, 'key' | 'taken'> {
  const keys = notes.map((n) => ASKED[of] - PITCH * Math.round(n.pitch) - n.onset);
  const found = [...keys, notes[0]!.onset].find((k) => asked.has(k));
  return { key: found ?? keys[0]!, taken: found !== undefined };
}

/** A gap before the next note is neither clearly part of a note nor clearly a rest: shares of the time between, and seconds. */
const GAP = { least: 0.2, most: 0.45, seconds: 0.12 };

/** Whether it is unsure if a note lasts until the next one, or ends where it was heard to end. */
export function isLengthUnsure(
  onset: Ticks,
  heardEnd: number,
  next: Ticks,
  secondsPerTick: number,
): boolean {
  const gap = next - heardEnd;
  const share = gap / (next - onset);
  return share >= GAP.least && share <= GAP.most && gap * secondsPerTick >= GAP.seconds;
}
