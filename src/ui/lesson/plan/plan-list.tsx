import { useMemo, useSyncExternalStore } from 'react';
import { PLANS } from '../../../io/kinds/kinds';
import { useApp } from '../../frame/app-context';
import { addressOf } from '../../frame/route';
import { type RecordRow, RecordSection } from '../record-list';
import { removePlan } from './plan-actions';
import { planTitle } from './plan-words';
import { useAsks } from './use-asks';

/** Every practice plan with what it asks for today; nothing where there is none. */
export function PlanList() {
  const app = useApp();
  const { store } = app;
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const stored = useSyncExternalStore(subscribe, () => store.of(PLANS).all());
  const plans = useMemo(
    () => stored.map((s) => s.value).sort((a, b) => planTitle(a).localeCompare(planTitle(b))),
    [stored],
  );
  const asks = useAsks(plans);
  const rows = plans.map(
    (p): RecordRow => ({
      id: p.id,
      title: planTitle(p),
      href: addressOf({ page: 'plan', id: p.id, query: {} }),
      facts: asks.get(p.id) ?? '…',
      removes: `the plan of ${planTitle(p)}`,
      remove: () => removePlan(app, p),
    }),
  );
  return <RecordSection id="plans" title="Practice plans" rows={rows} />;
}
