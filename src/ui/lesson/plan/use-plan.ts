import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import type { Lesson } from '../../../core/lesson/types';
import { type Standing, standings } from '../../../core/plan/due';
import { type PlanItem, planItems } from '../../../core/plan/items';
import { type Sitting, sittingOf } from '../../../core/plan/sitting';
import type { Day, Plan, Turn } from '../../../core/plan/types';
import { LESSONS, PLANS } from '../../../io/kinds/kinds';
import { useApp } from '../../frame/app-context';
import { today } from '../../frame/around-library';
import { type RecordEdits, useRecord } from '../../frame/record-edits';
import { type Reading, useTurns } from './use-turns';

/** A plan with everything that is known of it on this day. */
export interface PlanNow {
  readonly edits: RecordEdits<Plan>;
  readonly plan: Plan;
  /** Null where it is not in the library. */
  readonly lesson: Lesson | null;
  readonly items: readonly PlanItem[];
  /** Of its log, in no order. */
  readonly turns: readonly Turn[];
  /** Other plans that have the same log. */
  readonly beside: readonly Plan[];
  readonly all: readonly Standing[];
  readonly sitting: Sitting;
  readonly today: Day;
}

/** A plan and its day; how far its log is read, before it is; null where the library has none of that id. */
export function usePlan(id: string): PlanNow | Reading | null {
  const { store } = useApp();
  const edits = useRecord(PLANS, id);
  const plan = edits?.value ?? null;
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const lesson = useSyncExternalStore(subscribe, () =>
    plan === null ? null : (store.of(LESSONS).get(plan.lesson)?.value ?? null),
  );
  const turns = useTurns(store, plan?.log ?? null);
  const plans = useSyncExternalStore(subscribe, () => store.of(PLANS).all());
  const day = useToday();
  return useMemo(() => {
    if (edits === null || plan === null) return null;
    if ('done' in turns) return turns;
    const items = lesson === null ? [] : planItems(lesson);
    const all = standings(plan, items, turns, day);
    const sitting = sittingOf(plan, items, turns, day);
    const beside = plans.flatMap(({ value: p }) =>
      p.log === plan.log && p.id !== plan.id ? [p] : [],
    );
    return { edits, plan, lesson, items, turns, beside, all, sitting, today: day };
  }, [edits, plan, lesson, turns, plans, day]);
}

/** The calendar day of this machine, also when a night passes while the page is open. */
function useToday(): Day {
  const [day, setDay] = useState(() => today());
  useEffect(() => {
    const look = () => setDay(today());
    const clock = setInterval(look, 60_000);
    document.addEventListener('visibilitychange', look);
    return () => {
      clearInterval(clock);
      document.removeEventListener('visibilitychange', look);
    };
  }, []);
  return day;
}
