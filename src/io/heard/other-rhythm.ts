import type { HeardMoment } from '../../core/heard/moments';
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
  /** Seconds of the recording by which the other one is asked for. */
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

/** The moment's own time, by which another rhythm of it is asked for. */
export const keyOf = ({ notes }: Pick<HeardMoment, 'notes'>): number => notes[0]!.onset;

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
