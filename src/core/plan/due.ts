import { daysBetween } from '../library/use';
import { daysLater } from './calendar';
import { groupedBy } from './grouped';
import type { PlanItem } from './items';
import { ladderOf, placeAfter, placeOfTurn, type StepTake, stepAt } from './ladder';
import type { Day, Plan, Turn, Went } from './types';

/** Days after which something comes again, at the most. */
export const LONGEST_GAP = 32;

/** Where an item of a plan stands. */
export interface Standing {
  readonly item: PlanItem;
  /** Its turns, the last one last. */
  readonly turns: readonly Turn[];
  /** The day from which on it is to be practised. */
  readonly due: Day;
  /** Days between its last practice and that day; 0 where there was none. */
  readonly gap: number;
}

/**
 * Where every item of a plan stands on a day, in the order of the lesson. So many new items a day come
 * one after the other from the day on which the plan was begun; what was practised comes again
 * after its gap (`gapAfter`).
 * @param turns Of its log, in any order and however often each.
 */
export function standings(
  plan: Pick<Plan, 'begun' | 'fresh' | 'log'>,
  items: readonly PlanItem[],
  turns: readonly Turn[],
  today: Day,
): readonly Standing[] {
  const byItem = groupedBy(
    inOrder(
      turns.filter((t) => t.log === plan.log),
      today,
    ),
    (t) => t.item,
  );
  // Begun after today by a clock that has been put right since: nobody waits for that day.
  const begun = plan.begun > today ? today : plan.begun;
  return items.map((item, i) => {
    const own = byItem.get(item.key) ?? [];
    const first = daysLater(begun, Math.floor(i / plan.fresh));
    return { item, turns: own, ...dueOf(own, first, today) };
  });
}

/**
 * Turns in the order in which they were taken, each once. One that is dated after today was written by
 * a clock that was wrong: it counts as older than all others, so that it holds nothing back.
 */
export function inOrder(turns: readonly Turn[], today: Day): readonly Turn[] {
  return (
    [...new Map(turns.map((t) => [t.id, t])).values()]
      // As numbers: times may be written with parts of a second or without, which sort otherwise as text.
      .map((turn) => ({ turn, ahead: turn.day > today, time: Date.parse(turn.meta.created) }))
      .sort(
        (a, b) =>
          Number(b.ahead) - Number(a.ahead) ||
          byText(a.turn.day, b.turn.day) ||
          a.time - b.time ||
          byText(a.turn.id, b.turn.id),
      )
      .map(({ turn }) => turn)
  );
}

const byText = (a: string, b: string) => (a < b ? -1 : Number(a > b));

function dueOf(turns: readonly Turn[], first: Day, today: Day): { due: Day; gap: number } {
  if (turns.length === 0) return { due: first, gap: 0 };
  const days = groupedBy(
    turns.filter((t) => t.day <= today),
    (t) => t.day,
  );
  let last: Day | null = null;
  let gap = 0;
  for (const [day, taken] of days) {
    const early: boolean = last !== null && daysBetween(last, day) < gap;
    // How it went in the end is what the day came to.
    gap = gapAfter(gap, taken.at(-1)!.went, early);
    last = day;
  }
  return { due: last === null ? today : daysLater(last, gap), gap };
}

/**
 * Days until an item comes again after a day on which it was practised: twice as many as before when it
 * sits, half as many when it nearly does, and one when it does not come yet. Our own rule: that
 * reviews days apart help is well shown in the laboratory, in music the effects are small, and no
 * schedule is known to be the best.
 * @param gap The days it had before; 0 the first time.
 * @param early Practised before it was due: it proves nothing about the longer gap.
 */
export function gapAfter(gap: number, went: Went, early: boolean): number {
  if (gap === 0 || went === 'not yet') return 1;
  if (went === 'nearly') return Math.max(1, Math.floor(gap / 2));
  return early ? gap : Math.min(LONGEST_GAP, gap * 2);
}

/** Whether it is to be practised on a day. */
export const isDue = (s: Standing, today: Day): boolean => s.due <= today;

/** The tempo and the place at which an item is practised next. */
export function nextStep(plan: Pick<Plan, 'tempo' | 'keys'>, { item, turns }: Standing): StepTake {
  const ladder = ladderOf(item, plan);
  const last = turns.at(-1);
  if (last === undefined) return stepAt(item, ladder, 0, 1);
  const place = placeAfter(ladder, placeOfTurn(ladder, last), last.went);
  return stepAt(item, ladder, place, last.went === 'not yet' ? -1 : 1);
}
