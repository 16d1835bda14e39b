import type { NoteId } from '../phrase/types';
import type { Interval } from '../theory/interval';
import type { Pitch } from '../theory/pitch';
import type { NoteReading } from '../understand/reading';
import type { Adaptation, LaneChord } from './request';

/** What will become of one note: its new pitches, before an octave and a place on the neck are chosen. */
export interface NotePlan {
  readonly reading: NoteReading;
  /** The chord it will stand over; undefined where there is no lane. */
  readonly chord: LaneChord | undefined;
  /** Which segment's octave it shares (M7); null for a note that stays with the key. */
  readonly segment: number | null;
  /** The fretted start. */
  readonly start: Pitch;
  /** Target of a bend that has one. */
  readonly target: Pitch | null;
  /** Upper note of a trill. */
  readonly upper: Pitch | null;
  readonly adaptations: readonly Adaptation[];
}

/** Notes of one owner chord that move together (M7). */
export interface Segment {
  readonly index: number;
  readonly from: string;
  readonly to: string;
  /** How far the root moves before the octave is chosen: less than an octave up, give or take. */
  readonly interval: Interval;
}

export interface MovePlan {
  readonly segments: readonly Segment[];
  /** In the order of the analysis. */
  readonly notes: readonly NotePlan[];
  readonly byId: ReadonlyMap<NoteId, NotePlan>;
  readonly general: readonly Adaptation[];
}

/** The pitch that is heard of a bend or slide: its target; else the note itself (D5). */
export function heardOf(plan: Pick<NotePlan, 'start' | 'target'>): Pitch {
  return plan.target ?? plan.start;
}

/** The plan of a note shifted by whole octaves. */
export function shiftPlan(plan: NotePlan, by: number): NotePlan {
  if (by === 0) return plan;
  const move = (p: Pitch): Pitch => ({ ...p, octave: p.octave + by });
  return {
    ...plan,
    start: move(plan.start),
    target: plan.target === null ? null : move(plan.target),
    upper: plan.upper === null ? null : move(plan.upper),
  };
}

/**
 * A change of a technique for the report.
 * @param rule Its number, such as `M10`.
 * @param fallback Whether it was the last resort.
 */
export function adapted(rule: string, text: string, fallback = false): Adaptation {
  return { rule, text, fallback };
}
