import { useSyncExternalStore } from 'react';
import { planItems } from '../../../core/plan/items';
import { sittingOf } from '../../../core/plan/sitting';
import type { Plan } from '../../../core/plan/types';
import { PLANS, TURNS } from '../../../io/kinds/kinds';
import { useApp } from '../../frame/app-context';
import { today } from '../../frame/around-library';
import { addressOf } from '../../frame/route';
import { count } from '../../shared/words';
import { lessonOfPlan, removePlan } from './plan-actions';
import { planTitle } from './plan-words';

/** Every practice plan with what it asks for today; nothing where there is none. */
export function PlanList() {
  const app = useApp();
  const { store } = app;
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const stored = useSyncExternalStore(subscribe, () => store.of(PLANS).all());
  const log = useSyncExternalStore(subscribe, () => store.of(TURNS).all());
  if (stored.length === 0) return null;
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
  return (
    <section>
      <h2>Practice plans</h2>
      <ul className="lesson-list">
        {plans.map((p) => (
          <li key={p.id}>
            <a href={addressOf({ page: 'plan', id: p.id, query: {} })}>{planTitle(p)}</a>
            <span className="quiet">{asks(p)}</span>
            <button type="button" onClick={() => void removePlan(app, p)}>
              Remove <span className="unseen">the plan of {planTitle(p)}</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
