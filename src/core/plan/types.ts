import type { Goal } from '../move/goal';
import type { RecordHead } from '../phrase/record';
import type { Cycle } from '../practice/types';

/** The versions of the stored forms that this code writes. */
export const PLAN_VERSION = 1;
export const TURN_VERSION = 1;

/** A calendar day where somebody practises: 2026-11-27. */
export type Day = string;

/**
 * How the items of a lesson are practised by one student. It holds no music: what is practised is what
 * stands in the lesson on that day. The stored JSON has exactly this shape.
 */
export interface Plan extends RecordHead<'degreewise-plan', typeof PLAN_VERSION> {
  /** Who practises; nobody is named where absent. */
  readonly student?: string;
  /** Id of the lesson. */
  readonly lesson: string;
  /**
   * What the turns of its log name. A copy of the plan keeps it, so that a log which was brought
   * back is joined to the one that is there.
   */
  readonly log: string;
  /** The day on which it was begun. */
  readonly begun: Day;
  /** Draws the order of a day. */
  readonly seed: number;
  /** Length of a day's practice. */
  readonly minutes: number;
  /** So many items come for the first time on a day. */
  readonly fresh: number;
  /** Percent of the written tempo: where an item begins, how it rises, where it is to arrive. */
  readonly tempo: { readonly from: number; readonly by: number; readonly to: number };
  /** Where phrases go once they are at their tempo. */
  readonly keys: Cycle;
}

/** How a turn went, from the worst. */
export const WENT = ['not yet', 'nearly', 'sits'] as const;
export type Went = (typeof WENT)[number];

/**
 * That an item was practised, and how it went. Each is written once and never changed, so that what
 * two logs know is all of both. The stored JSON has exactly this shape; its title says what the item
 * was called on that day.
 */
export interface Turn extends RecordHead<'degreewise-turn', typeof TURN_VERSION> {
  /** The `log` of a plan. */
  readonly log: string;
  readonly day: Day;
  /** What was practised (`keyOfItem`). */
  readonly item: string;
  /** Percent of the written tempo. */
  readonly speed: number;
  /** Where it was moved; as it is written where absent. */
  readonly goal?: Goal;
  readonly went: Went;
}

/** Bounds of what is chosen of a plan. */
export const PLAN_BOUNDS = {
  minutes: { least: 3, most: 120 },
  fresh: { least: 1, most: 20 },
  by: { least: 5, most: 50 },
} as const;

/** A tempo and a place at which an item is practised. */
export interface PlanStep {
  /** Percent of the written tempo. */
  readonly speed: number;
  /** Null: as it is written. */
  readonly goal: Goal | null;
}
