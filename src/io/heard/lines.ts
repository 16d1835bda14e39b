import type { HeardMoment } from '../../core/heard/moments';
import type { HeardNote } from '../../core/heard/types';
import { TICKS_PER_QUARTER, type Ticks } from '../../core/phrase/types';
import { askedFor, isLengthUnsure, type RhythmDoubt } from './other-rhythm';

/** What one voice strikes at a moment, with its written times. */
export interface HeardEvent {
  readonly onset: Ticks;
  readonly end: Ticks;
  readonly notes: readonly HeardNote[];
  readonly graces: readonly HeardNote[];
  /** Sounds on past its written end. */
  readonly rings: boolean;
  /** What of its rhythm is unsure; absent where nothing is. */
  readonly doubt?: RhythmDoubt;
}

/** A moment with its place on the grid. */
export interface PlacedMoment extends HeardMoment {
  readonly at: Ticks;
  readonly doubt?: RhythmDoubt;
}

export interface LinesContext {
  /** Where a moment of the recording is written. */
  readonly place: (seconds: number) => Ticks;
  /** The first place past another where something can be written. */
  readonly after: (at: Ticks) => Ticks;
  /** A moment of the recording in ticks, not rounded. */
  readonly heardAt: (seconds: number) => number;
  readonly secondsPerTick: number;
  /** Keys of lengths that are written as the second-best one. */
  readonly otherwise: ReadonlySet<number>;
}

/** A note that sounds so long under later ones is held, in seconds and in beats of quarters. */
const HELD = 0.25;
const HELD_SHARE = 0.7;
/** A note that is cut by the next is let ring where it sounds on so long, in seconds. */
const RINGS = 0.3;
/** Where more of the notes than this are held, they are a chord taken apart that rings. */
const MOST_HELD = 0.3;

/** What is slurred begins as its source ends: they lie at most so far apart in time, in seconds, and in pitch, in semitones. */
const JOINS = 0.08;
const FAR = 5.6;

/**
 * What a slurred note was slurred from, of what was struck before it: the nearest in pitch that ends as it begins. A slur
 * is written on one string in one line, so that a note that sounds on stays in the line of its source.
 */
function sourceOf(n: HeardNote, before: PlacedMoment | undefined): HeardNote | undefined {
  if (n.attack === 'pluck' || before === undefined) return undefined;
  const far = (q: HeardNote) => Math.abs(q.pitch - n.start);
  return before.notes
    .filter((q) => Math.abs(q.end - n.onset) < JOINS && far(q) < FAR)
    .sort((a, b) => far(a) - far(b))[0];
}

/**
 * Moments in one line, or in two where notes are held under others. Where most are held, as in a chord that
 * is taken apart, they are one line that rings.
 */
export function linesOfHeard(
  moments: readonly PlacedMoment[],
  c: LinesContext,
): readonly (readonly HeardEvent[])[] {
  const quarter = c.secondsPerTick * TICKS_PER_QUARTER;
  // From first to last, so that what is slurred finds its source told already.
  const heldNotes = new Set<HeardNote>();
  const mayBeHeld = (n: HeardNote, i: number): boolean => {
    const from = sourceOf(n, moments[i - 1]);
    if (from !== undefined && !heldNotes.has(from)) return false;
    const second = moments[i + 2];
    const next = moments[i + 1];
    if (second === undefined || next === undefined) return false;
    const over = n.end - next.onset;
    return n.end > second.onset + HELD / 2 && over > Math.max(HELD, HELD_SHARE * quarter);
  };
  for (const [i, m] of moments.entries()) {
    for (const n of m.notes) if (mayBeHeld(n, i)) heldNotes.add(n);
  }
  const all = moments.reduce((sum, m) => sum + m.notes.length, 0);
  const held = heldNotes.size;
  const apart = held > 0 && held <= MOST_HELD * all;
  const melody = moments.flatMap((m): PlacedMoment[] => {
    const notes = apart ? m.notes.filter((n) => !heldNotes.has(n)) : m.notes;
    return notes.length === 0 ? [] : [{ ...m, notes }];
  });
  const under = !apart
    ? []
    : moments.flatMap((m): PlacedMoment[] => {
        const notes = m.notes.filter((n) => heldNotes.has(n));
        const alone = notes.length === m.notes.length;
        return notes.length === 0 ? [] : [{ ...m, notes, graces: alone ? m.graces : [] }];
      });
  if (under.length === 0) return [eventsOf(melody, c)];
  const lines = [eventsOf(melody, c), eventsOf(under, c)];
  return mean(melody) >= mean(under) ? lines : lines.reverse();
}

function mean(line: readonly PlacedMoment[]): number {
  const all = line.flatMap((m) => m.notes.map((n) => n.pitch));
  return all.reduce((a, b) => a + b, 0) / Math.max(1, all.length);
}

function eventsOf(line: readonly PlacedMoment[], c: LinesContext): readonly HeardEvent[] {
  return line.map((m, i) => {
    const next = line[i + 1];
    const sounds = Math.max(...m.notes.map((n) => n.end));
    const { end, doubt } = lengthOf(m, c.place(sounds), next?.at, c);
    const rings = next !== undefined && end === next.at && sounds - next.onset > RINGS;
    const unsure = m.doubt ?? doubt;
    const told = unsure === undefined ? {} : { doubt: unsure };
    return { onset: m.at, end, notes: m.notes, graces: m.graces, rings, ...told };
  });
}

/** Where a moment ends, and where it may end instead: at the next one, or with a rest before it. */
function lengthOf(
  m: PlacedMoment,
  heard: Ticks,
  next: Ticks | undefined,
  c: LinesContext,
): { readonly end: Ticks; readonly doubt?: RhythmDoubt } {
  const end = endOf(m.at, heard, next, c);
  if (next === undefined || m.doubt !== undefined) return { end };
  const sounds = c.heardAt(Math.max(...m.notes.map((n) => n.end)));
  if (!isLengthUnsure(m.at, sounds, next, c.secondsPerTick)) return { end };
  const cut = Math.min(next, Math.max(c.after(m.at), heard));
  const other = end === next ? cut : next;
  if (other === end) return { end };
  const asked = askedFor('length', m.notes, c.otherwise);
  const [now, instead] = asked.taken ? [other, end] : [end, other];
  return { end: now, doubt: { of: 'length', other: instead - m.at, ...asked } };
}

/** A note is let go early to strike the next, and dies away: a short gap belongs to it. */
function endOf(onset: Ticks, heard: Ticks, next: Ticks | undefined, c: LinesContext): Ticks {
  const least = c.after(onset);
  if (next === undefined) return Math.max(least, heard);
  if (heard >= next) return next;
  const gap = next - heard;
  const short = gap < TICKS_PER_QUARTER / 4 || gap <= 0.35 * (next - onset);
  return short || heard <= onset ? next : Math.min(next, Math.max(least, heard));
}
