import { Dice } from '../vary/dice';
import { inOrder, isDue, type Standing, standings } from './due';
import { groupedBy } from './grouped';
import type { PlanItem } from './items';
import { ladderOf, placeAfter, placeOfTurn } from './ladder';
import { paceOf, secondsOfTurn } from './lasts';
import type { Day, Plan, Turn } from './types';

/** An item comes so often on a day at the most. */
export const MOST_TURNS = 3;

/** A turn that a day asks for. */
export interface SittingPlace {
  readonly item: PlanItem;
  /** The first, second or third time on this day. */
  readonly time: number;
  /** How it went; null where it is still to come. */
  readonly done: Turn | null;
}

/** What is practised on a day. */
export interface Sitting {
  /** In the order in which they are practised. */
  readonly places: readonly SittingPlace[];
  /** The first that is still to come; null where all is done. */
  readonly next: SittingPlace | null;
  /** Minutes that all of it takes, about, at the pace of the turns before this day. */
  readonly minutes: number;
  /** Of these, what is still to come. */
  readonly left: number;
  /** Due as well, but there is no time for them: they come first on another day. */
  readonly waiting: readonly PlanItem[];
}

/**
 * What a plan asks for on a day: what is due, what has waited longest first, as long as there is time;
 * then the same again, up to three times, while there is time. It follows from the log, so that it
 * stays the same in every window and after each turn: what was done stands there as done.
 */
export function sittingOf(
  plan: Plan,
  items: readonly PlanItem[],
  turns: readonly Turn[],
  today: Day,
): Sitting {
  const own = turns.filter((t) => t.log === plan.log);
  const earlier = own.filter((t) => t.day !== today);
  const morning = standings(plan, items, earlier, today);
  const due = morning
    .filter((s) => isDue(s, today))
    .sort((a, b) => (a.due < b.due ? -1 : Number(a.due > b.due)));
  const pace = paceOf(items, earlier);
  const lasts = new Map(due.map((s) => [s.item.key, pace * secondsNext(plan, s)]));
  const { passes, waiting } = filled(plan, due, lasts);
  const order = mixed(passes, new Dice(plan.seed + dayNumber(today)));
  const done = groupedBy(
    inOrder(
      own.filter((t) => t.day === today),
      today,
    ),
    (t) => t.item,
  );
  const times = new Map<string, number>();
  const places = order.map((item): SittingPlace => {
    const time = (times.get(item.key) ?? 0) + 1;
    times.set(item.key, time);
    return { item, time, done: done.get(item.key)?.[time - 1] ?? null };
  });
  const minutesOf = (some: readonly SittingPlace[]) =>
    Math.ceil(some.reduce((sum, p) => sum + lasts.get(p.item.key)!, 0) / 60);
  const open = places.filter((p) => p.done === null);
  return {
    ...{ places, next: open[0] ?? null, waiting },
    ...{ minutes: minutesOf(places), left: minutesOf(open) },
  };
}

const dayNumber = (day: Day): number => Math.round(Date.parse(day) / 86_400_000);

/** The items of each time round: all that there is time for, then as many of them again. */
function filled(plan: Plan, due: readonly Standing[], lasts: ReadonlyMap<string, number>) {
  const most = plan.minutes * 60;
  const passes: PlanItem[][] = [];
  let seconds = 0;
  let room = due.length;
  for (let time = 1; time <= MOST_TURNS && room > 0; time++) {
    const pass: PlanItem[] = [];
    for (const [i, { item }] of due.slice(0, room).entries()) {
      const first = time === 1 && i === 0;
      const more = lasts.get(item.key)!;
      if (!first && seconds + more > most) break;
      seconds += more;
      pass.push(item);
    }
    if (pass.length > 0) passes.push(pass);
    const whole = pass.length === room;
    if (time === 1) room = pass.length;
    else if (!whole) break;
  }
  return { passes, waiting: due.slice(room).map((s) => s.item) };
}

/** Seconds that the next turn of an item takes, about. */
function secondsNext(plan: Plan, { item, turns }: Standing): number {
  const ladder = ladderOf(item, plan);
  const last = turns.at(-1);
  const place = last === undefined ? 0 : placeAfter(ladder, placeOfTurn(ladder, last), last.went);
  return secondsOfTurn(item, ladder[place]!.speed);
}

/**
 * All times round one after the other, each shuffled, so that nothing comes twice in a row where there
 * is anything else to put between.
 * @param passes Each holds the first items of the one before.
 */
export function mixed<T>(passes: readonly (readonly T[])[], dice: Dice): readonly T[] {
  const order: T[] = [];
  for (const [i, pass] of passes.entries()) {
    // Two take turns as they began; what comes alone in the end is then the first of them.
    const two = passes[0]!.length === 2;
    if (two && i > 0) {
      order.push(...order.slice(0, pass.length));
      continue;
    }
    // What comes alone must not have ended the time before.
    const next = two ? passes.at(-1) : passes[i + 1];
    const alone = next?.length === 1 && pass.length > 1 ? next[0]! : null;
    order.push(...apart(shuffled(pass, dice), order.at(-1) ?? null, alone));
  }
  return order;
}

/** The list with another beginning than `first` and another end than `last`, where it has others. */
function apart<T>(list: readonly T[], first: T | null, last: T | null): readonly T[] {
  const all = [...list];
  const swap = (a: number, b: number) => {
    [all[a], all[b]] = [all[b]!, all[a]!];
  };
  const end = all.length - 1;
  if (end < 1) return all;
  if (all[end] === last) swap(end, end - 1);
  if (all[0] === first) {
    const other = all.findIndex((x, i) => i > 0 && x !== first && (i < end || first !== last));
    if (other > 0) swap(0, other);
  }
  return all;
}

function shuffled<T>(list: readonly T[], dice: Dice): readonly T[] {
  const all = [...list];
  for (let i = all.length - 1; i > 0; i--) {
    const j = Math.floor(dice.next() * (i + 1));
    [all[i], all[j]] = [all[j]!, all[i]!];
  }
  return all;
}
