import { useCallback, useMemo, useRef, useState } from 'react';
import type { PlanItem } from '../../../core/plan/items';
import type { StepTake } from '../../../core/plan/ladder';
import type { Turn, Went } from '../../../core/plan/types';
import { headingOf } from '../../../publish/lesson/items';
import { useActions, useApp, useLibrary, usePageTitle } from '../../frame/app-context';
import { RecordSaving } from '../../frame/record-saving';
import { addressOf, type RouteOf } from '../../frame/route';
import { navigate } from '../../frame/use-route';
import { dayName } from '../../shared/words';
import { lessonTitle } from '../lessons-page';
import { planAnother, removePlan, saveLog, takeBack, takeTurn } from './plan-actions';
import { AllItems, LogList, TodayList } from './plan-lists';
import { PlanSettings } from './plan-settings';
import { planTitle, stepOfTurn, stepWords, WENT_WORDS } from './plan-words';
import { TurnHeading, TurnNow } from './turn-now';
import { type PlanNow, usePlan } from './use-plan';
import '../../shared/pages.css';
import './plan.css';

/** `#/plan/ID`: what is practised of a lesson today; `?item=` takes one of its items before the others. */
export function PlanPage({ route }: { readonly route: RouteOf<'plan'> }) {
  const now = usePlan(route.id);
  const { state } = useLibrary();
  if (now !== null) return <Sheet key={route.id} now={now} route={route} />;
  if (state === 'opening') return <p role="status">Opening the library …</p>;
  return (
    <section className="page">
      <h1>This plan is not here</h1>
      <p>
        It may have been removed, or it is in the library of another browser or device.{' '}
        <a href={addressOf({ page: 'lessons', query: {} })}>See the lessons and plans</a>
      </p>
    </section>
  );
}

interface SheetProps {
  readonly now: PlanNow;
  readonly route: RouteOf<'plan'>;
}

function Sheet({ now, route }: SheetProps) {
  const { plan, lesson, items, edits, turns } = now;
  const app = useApp();
  const title = planTitle(plan);
  usePageTitle(title);
  usePlanActions(now);
  const nameOf = useCallback(
    ({ item }: PlanItem) => item.heading ?? (lesson === null ? item.kind : headingOf(lesson, item)),
    [lesson],
  );
  const take = (item: PlanItem) => {
    navigate({ ...route, query: { item: item.key } });
    window.scrollTo(0, 0);
  };
  return (
    <article className="page plan-page">
      <p className="way-back">
        <a
          href={addressOf(
            lesson === null
              ? { page: 'lessons', query: {} }
              : { page: 'lesson', id: lesson.id, query: {} },
          )}
        >
          {lesson === null ? 'Lessons' : lessonTitle(lesson)}
        </a>
      </p>
      <h1>Practice: {title}</h1>
      {lesson === null ? (
        <p className="problem">
          The lesson of this plan is not in the library. Bring it in, and the plan goes on; its log
          is here.
        </p>
      ) : items.length === 0 ? (
        <p className="problem">The lesson has no music yet.</p>
      ) : (
        <Turns now={now} route={route} nameOf={nameOf} />
      )}
      <p className="plan-care">
        Warm up, take breaks, keep the volume moderate. Stop when it hurts, and ask a teacher or a
        clinician.
      </p>
      <TodayList
        now={now}
        nameOf={nameOf}
        current={route.query.item ?? now.sitting.next?.item.key ?? null}
      />
      <AllItems now={now} nameOf={nameOf} onTake={take} />
      <LogList now={now} />
      <PlanSettings edits={edits} phrase={items[0]?.phrase ?? null} />
      <p className="buttons">
        <button type="button" onClick={() => saveLog(app, plan, turns)}>
          Save the log
        </button>
        {lesson === null ? null : (
          <button type="button" onClick={() => saveLog(app, plan, turns, lesson)}>
            Save lesson, plan and log
          </button>
        )}
        <button type="button" onClick={() => void planAnother(app, plan)}>
          The same for another student
        </button>
      </p>
      <RecordSaving
        edits={edits}
        noun="plan"
        addressOf={(p) => addressOf({ page: 'plan', id: p.id, query: {} })}
        titleOf={planTitle}
      />
    </article>
  );
}

/** One turn after the other, until the day is done. */
function Turns(props: SheetProps & { readonly nameOf: (item: PlanItem) => string }) {
  const { now, route, nameOf } = props;
  const { plan, sitting, all, today } = now;
  const app = useApp();
  const [last, setLast] = useState<Turn | null>(null);
  const wished = all.find((s) => s.item.key === route.query.item);
  const next = all.find((s) => s.item.key === sitting.next?.item.key);
  const standing = wished ?? next ?? null;
  const name = standing === null ? '' : nameOf(standing.item);
  const key = standing?.item.key ?? '';
  const writing = useRef(false);
  const onWent = useCallback(
    (at: StepTake, went: Went) => {
      // A key that is held, or a second tap, is not another turn.
      if (writing.current) return;
      writing.current = true;
      const taken = { item: key, title: name, step: at.step, went };
      void takeTurn(app, plan, taken, today).then((turn) => {
        writing.current = false;
        if (turn === null) return;
        setLast(turn);
        if (route.query.item !== undefined) navigate({ ...route, query: {} }, 'replace');
      });
    },
    [app, plan, key, name, today, route],
  );
  const time = wished === undefined && (sitting.next?.time ?? 1) > 1 ? 'Again today.' : '';
  return (
    <>
      <p role="status" className="turn-last">
        {last === null ? null : (
          <>
            {last.meta.title}, {stepWords(stepOfTurn(last))}: {WENT_WORDS[last.went].toLowerCase()}.{' '}
            <button
              type="button"
              className="plain"
              onClick={() => {
                setLast(null);
                void takeBack(app, last);
              }}
            >
              Take it back
            </button>
          </>
        )}
      </p>
      {standing === null ? (
        <DayDone now={now} follows={last !== null} />
      ) : (
        <TurnNow
          key={`${key} ${standing.turns.length}`}
          now={now}
          standing={standing}
          name={name}
          time={time}
          follows={last !== null}
          onWent={onWent}
        />
      )}
    </>
  );
}

/** Nothing is left for today. */
function DayDone(props: Pick<SheetProps, 'now'> & { readonly follows: boolean }) {
  const { sitting, all } = props.now;
  const soonest = all.map((s) => s.due).sort()[0];
  const done = sitting.places.length > 0;
  return (
    <section className="turn" aria-labelledby="turn-name">
      <TurnHeading follows={props.follows}>
        {done ? 'Done for today' : 'Nothing is due today'}
      </TurnHeading>
      <p>
        {soonest === undefined ? '' : `The next day with something due is ${dayName(soonest)}. `}
        Whatever you like can be taken from the list below.
      </p>
    </section>
  );
}

/** What can be done with a plan, for the list of everything that can be done. */
function usePlanActions({ plan, lesson, turns }: PlanNow): void {
  const app = useApp();
  useActions(
    useMemo(() => {
      const of = (id: string, name: string, words: string, run: () => void) => ({
        ...{ id, title: name, group: 'Practice plan', words, run },
      });
      return [
        of('plan.log', 'Save the log of this plan', 'export student file', () =>
          saveLog(app, plan, turns),
        ),
        of('plan.all', 'Save lesson, plan and log', 'export student file give', () =>
          saveLog(app, plan, turns, lesson),
        ),
        of(
          'plan.another',
          'Make the same plan for another student',
          'copy',
          () => void planAnother(app, plan),
        ),
        of('plan.remove', 'Remove this plan', 'delete', () => {
          void removePlan(app, plan);
          navigate({ page: 'lessons', query: {} });
        }),
      ];
    }, [app, plan, lesson, turns]),
  );
}
