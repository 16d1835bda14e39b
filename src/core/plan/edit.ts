import type { Lesson } from '../lesson/types';
import { headOf, type RecordBirth } from '../phrase/record';
import {
  type Day,
  PLAN_VERSION,
  type Plan,
  type PlanStep,
  TURN_VERSION,
  type Turn,
  type Went,
} from './types';

/** What makes a plan or a turn a new one; its title comes from what is practised. */
export interface Birth extends Omit<RecordBirth, 'title'> {
  readonly day: Day;
}

/** The usual plan of a lesson, not yet stored: from 60 % on, every key, a quarter of an hour a day. */
export function newPlan(
  lesson: Pick<Lesson, 'id' | 'meta'>,
  { day, seed, ...birth }: Birth & { readonly seed: number },
): Plan {
  // What the program calls a new lesson would say it twice.
  const title = lesson.meta.title.replace(/^Lesson: /u, '');
  return {
    ...headOf('degreewise-plan', PLAN_VERSION, { ...birth, title }),
    lesson: lesson.id,
    log: birth.id,
    begun: day,
    seed,
    minutes: 15,
    fresh: 3,
    tempo: { from: 60, by: 10, to: 100 },
    keys: { kind: 'fourths' },
  };
}

/** The same plan for another student, with a log of its own. */
export function planForAnother(plan: Plan, { id, now, day, seed }: Birth & { seed: number }): Plan {
  const { student: _, ...rest } = plan;
  const meta = { ...plan.meta, created: now, modified: now };
  return { ...rest, id, parent: plan.id, meta, log: id, begun: day, seed };
}

/** The plan with something of it chosen otherwise; an empty name of the student is left out. */
export function changedPlan(
  plan: Plan,
  change: Partial<Pick<Plan, 'minutes' | 'fresh' | 'tempo' | 'keys'>> & {
    readonly title?: string;
    readonly student?: string;
  },
): Plan {
  const { title, student, ...chosen } = change;
  // Fields in the order of the schema.
  const { format, version, id, parent, meta, student: before, ...rest } = plan;
  const named = student ?? before ?? '';
  return {
    ...{ format, version, id, parent },
    meta: title === undefined ? meta : { ...meta, title },
    ...(named !== '' && { student: named }),
    ...rest,
    ...chosen,
  };
}

/**
 * When a turn was taken, as a time after all turns of that day: a clock that was put right while somebody practised
 * would otherwise have what came last stand before it, and ask for a step that was taken.
 * @param now As the clock says.
 * @param turns Those of the log, in any order.
 */
export function momentOfTurn(now: string, turns: readonly Turn[], day: Day): string {
  const before = turns.filter((t) => t.day === day).map((t) => Date.parse(t.meta.created));
  const last = before.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  return Date.parse(now) > last ? now : new Date(last + 1).toISOString();
}

/** A turn that was taken, not yet stored. */
export function newTurn(
  plan: Pick<Plan, 'log'>,
  taken: {
    readonly item: string;
    /** What the item is called. */
    readonly title: string;
    readonly step: PlanStep;
    readonly went: Went;
  },
  { day, ...birth }: Birth,
): Turn {
  const { item, step, went } = taken;
  const title = cutTitle(taken.title);
  return {
    ...headOf('degreewise-turn', TURN_VERSION, { ...birth, title }),
    log: plan.log,
    day,
    item,
    speed: step.speed,
    ...(step.goal !== null && { goal: step.goal }),
    went,
  };
}

/** The longest title that a record may have, in the units in which it is counted. */
const LONGEST = 500;

/** A title no longer than a record may have; no sign of it is cut in half. */
function cutTitle(title: string): string {
  if (title.length <= LONGEST) return title;
  const last = title.codePointAt(LONGEST - 1)!;
  return title.slice(0, last > 0xffff ? LONGEST - 1 : LONGEST);
}
