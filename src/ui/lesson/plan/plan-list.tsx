import { useSyncExternalStore } from 'react';
import { planItems } from '../../../core/plan/items';
import { sittingOf } from '../../../core/plan/sitting';
import type { Plan } from '../../../core/plan/types';
import { PLANS, TURNS } from '../../../io/kinds/kinds';
import { useApp } from '../../frame/app-context';
import { today } from '../../frame/around-library';
import { addressOf } from '../../frame/route';
import { count } from '../../shared/words';
import { type RecordRow, RecordSection } from '../record-list';
import { lessonOfPlan, removePlan } from './plan-actions';
import { planTitle } from './plan-words';

/** Every practice plan with what it asks for today; nothing where there is none. */
export function PlanList() {
  const app = useApp();
  const { store } = app;
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const stored = useSyncExternalStore(subscribe, () => store.of(PLANS).all());
  const log = useSyncExternalStore(subscribe, () => store.of(TURNS).all());
  const turns = log.map((s) => s.value);
  const asks = (plan: Plan): string => {
    const lesson = lessonOfPlan(app, plan);
    if (lesson === null) return 'its lesson is not here';
    const { places } = sittingOf(plan, planItems(lesson), turns, today());
    const left = places.filter((p) => p.done === null).length;
    if (left > 0) return `${count(left, 'turn')} today`;
    return places.length > 0 ? 'done for today' : 'nothing due today';
  };
  const plans = stored.map((s) => s.value).sort((a, b) => planTitle(a).localeCompare(planTitle(b)));
  const rows = plans.map(
    (p): RecordRow => ({
      id: p.id,
      title: planTitle(p),
      href: addressOf({ page: 'plan', id: p.id, query: {} }),
      facts: asks(p),
      removes: `the plan of ${planTitle(p)}`,
      remove: () => removePlan(app, p),
    }),
  );
  return <RecordSection id="plans" title="Practice plans" rows={rows} />;
}
