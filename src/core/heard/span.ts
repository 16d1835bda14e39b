import { lateness, type PlayedTo, STRUCK_EARLY } from './clock';
import type { Heard, HeardNote } from './types';

/** A part of a recording, in seconds. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** A rest this long ends a phrase, in beats and in seconds where nobody knows the beat (two beats at 120). */
const REST_BEATS = 2;
const REST_SECONDS = 1;
/** What is heard as a rest is that much shorter, since notes ring on. */
const RINGS = 0.9;
/** Of a group whose surest note is less sure than this the hand made noise on its way to a key. */
const SURE = 0.67;

/** Seconds of silence that end a phrase. @param bpm Quarters a minute, where they are known. */
export function longRest(bpm: number | undefined): number {
  return bpm === undefined ? REST_SECONDS : (RINGS * REST_BEATS * 60) / bpm;
}

/**
 * The last whole round of a form that somebody played to; null where none is whole, or its beginning is not remembered.
 * @param to With the length of the form as its round.
 * @param until When what was played to ended, or the end of the recording where it still runs; in seconds of the recording.
 */
export function lastRound(to: PlayedTo, until: number): Span | null {
  // A sample that is missing makes no round incomplete.
  const rounds = Math.floor((until - to.begin) / to.round + 1e-6);
  if (rounds < 1) return null;
  const from = to.begin + (rounds - 1) * to.round;
  return from < -1e-6 ? null : { from, to: from + to.round };
}

/** What of a round was struck in it: early on its first beat, and not early on the next one; later by what the device delays. */
export function struckIn(round: Span, onsets: readonly number[], to: PlayedTo): Span {
  const by = lateness(onsets, to) - STRUCK_EARLY;
  return { from: round.from + by, to: round.to + by };
}

/** The last phrase of a recording. */
export interface LastPhrase {
  /** From its first onset until its last note has ended. */
  readonly span: Span;
  /** Seconds without a note before and after it. */
  readonly before: number;
  readonly after: number;
  /** Whether that before it is a long rest: else it may have begun before the recording. */
  readonly whole: boolean;
}

/**
 * From the last long rest on; the silence after the last note is none. What is only noise of a hand is passed over.
 * @param rest Seconds that are a long rest.
 * @returns null where nothing is surely a note.
 */
export function lastPhrase({ notes, seconds }: Heard, rest: number): LastPhrase | null {
  let after = seconds;
  for (const group of groupsOf(notes, rest).reverse()) {
    const span = { from: group[0]!.onset, to: Math.max(...group.map((n) => n.end)) };
    if (group.some((n) => n.confidence >= SURE)) {
      const ends = notes.filter((n) => n.onset < span.from).map((n) => n.end);
      const before = span.from - ends.reduce((a, b) => Math.max(a, b), 0);
      return { span, before, after: Math.max(0, after - span.to), whole: before >= rest };
    }
    after = span.from;
  }
  return null;
}

/** Notes between long rests, all in order. */
function groupsOf(notes: readonly HeardNote[], rest: number): HeardNote[][] {
  const groups: HeardNote[][] = [];
  let end = Number.NEGATIVE_INFINITY;
  for (const n of [...notes].sort((a, b) => a.onset - b.onset)) {
    if (n.onset - end >= rest) groups.push([]);
    groups.at(-1)!.push(n);
    end = Math.max(end, n.end);
  }
  return groups;
}

/** What was heard without what was struck outside of a span. */
export function struckWithin(heard: Heard, { from, to }: Span): Heard {
  const isIn = ({ onset }: { readonly onset: number }) => onset >= from && onset < to;
  return { ...heard, notes: heard.notes.filter(isIn), dead: heard.dead.filter(isIn) };
}
