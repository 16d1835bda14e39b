import { useEffect, useState, useSyncExternalStore } from 'react';
import { planItems } from '../../../core/plan/items';
import { sittingOf } from '../../../core/plan/sitting';
import type { Plan, Turn } from '../../../core/plan/types';
import { LESSONS, TURNS } from '../../../io/kinds/kinds';
import { type App, useApp } from '../../frame/app-context';
import { today } from '../../frame/around-library';
import { count } from '../../shared/words';
import { lessonOfPlan } from './plan-actions';
import { LogReader } from './read-log';

/** What each plan asks for today, in words by its id; the logs are read one after the other. */
export function useAsks(plans: readonly Plan[]): ReadonlyMap<string, string> {
  const app = useApp();
  const { store } = app;
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const log = useSyncExternalStore(subscribe, () => store.of(TURNS).all());
  const lessons = useSyncExternalStore(subscribe, () => store.of(LESSONS).all());
  const [asks, setAsks] = useState<ReadonlyMap<string, string>>(new Map());
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is read is that of the logs and lessons as they are
  useEffect(() => {
    let wanted = true;
    void (async () => {
      for (const plan of plans) {
        const reader = new LogReader(store, plan.log);
        // Where the library closes or fails meanwhile, that is said elsewhere; news has it read again.
        await reader.read(() => wanted).catch(() => undefined);
        if (!wanted) return;
        const turns = reader.now();
        if (turns === null) continue;
        const words = asksOf(app, plan, turns);
        setAsks((known) =>
          known.get(plan.id) === words ? known : new Map(known).set(plan.id, words),
        );
      }
    })();
    return () => {
      wanted = false;
    };
  }, [app, store, plans, log, lessons]);
  return asks;
}

function asksOf(app: App, plan: Plan, turns: readonly Turn[]): string {
  const lesson = lessonOfPlan(app, plan);
  if (lesson === null) return 'its lesson is not here';
  const { places } = sittingOf(plan, planItems(lesson), turns, today());
  const left = places.filter((p) => p.done === null).length;
  if (left > 0) return `${count(left, 'turn')} today`;
  return places.length > 0 ? 'done for today' : 'nothing due today';
}
