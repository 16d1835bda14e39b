import type { Problem } from '../result';
import type { Day } from './types';

/** The last day that four digits of a year can write. */
const LAST = Date.parse('9999-12-31');

/**
 * The calendar day so many days later, the last of the year 9999 at the most. Days are counted on the
 * calendar, so that a change of the clocks makes none longer.
 */
export function daysLater(day: Day, days: number): Day {
  return new Date(Math.min(LAST, Date.parse(day) + days * 86_400_000)).toISOString().slice(0, 10);
}

/** Whether a text is a day of the calendar: 2026-02-28, but not 2026-02-30. */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/u.test(text)) return false;
  const time = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().slice(0, 10) === text;
}

/** What is wrong with a day that a record names; nothing where the calendar has it. */
export function noDay(day: string, pointer: string): readonly Problem[] {
  return isDay(day)
    ? []
    : [{ message: `the calendar has no day ${day}`, fix: 'Write it as 2026-11-27.', pointer }];
}
