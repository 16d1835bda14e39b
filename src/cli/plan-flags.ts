import { isDay } from '../core/plan/calendar';
import { PLAN_BOUNDS } from '../core/plan/types';
import { fail, ok, type Result } from '../core/result';
import { readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

/** What is asked of practice plans. */
export interface PlanOptions {
  /** Only those of this student. */
  readonly student?: string;
  /** The calendar day; today where absent. */
  readonly day?: string;
  /** Another length of practice than the plan's. */
  readonly minutes?: number;
  readonly json: boolean;
}

export const PLAN: readonly Flag[] = [
  { name: 'student', takes: 'value' },
  { name: 'day', takes: 'value' },
  { name: 'minutes', takes: 'value' },
  { name: 'json', takes: 'nothing' },
];

export function readPlanOptions(flags: Flags): Result<PlanOptions> {
  const { least, most } = PLAN_BOUNDS.minutes;
  const minutes = readWhole(flags, 'minutes', least, most);
  if (!minutes.ok) return minutes;
  const day = flags.values.get('day');
  if (day !== undefined && !isDay(day)) {
    return fail({ message: `'${day}' is no day of the calendar`, fix: 'Write it as 2026-11-27.' });
  }
  const student = flags.values.get('student');
  return ok({
    ...(student !== undefined && { student }),
    ...(day !== undefined && { day }),
    ...(minutes.value !== undefined && { minutes: minutes.value }),
    json: flags.values.has('json'),
  });
}
