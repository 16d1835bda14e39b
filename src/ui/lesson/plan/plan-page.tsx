import { useCallback, useMemo, useRef, useState } from 'react';
import type { Standing } from '../../../core/plan/due';
import type { PlanItem } from '../../../core/plan/items';
import type { StepTake } from '../../../core/plan/ladder';
import type { Plan, Turn, Went } from '../../../core/plan/types';
import { PLANS } from '../../../io/kinds/kinds';
import { headingOf } from '../../../publish/lesson/items';
import { useActions, useApp, useLibrary, usePageTitle } from '../../frame/app-context';
import { NotHere } from '../../frame/not-here';
import { OpeningPage } from '../../frame/opening-library';
import { RecordSaving } from '../../frame/record-saving';
import { addressOf, parseRoute, type RouteOf } from '../../frame/route';
import { navigate } from '../../frame/use-route';
import { dayName } from '../../shared/words';
import { lessonTitle } from '../lessons-page';
import { planAnother, removePlan, saveLog, takeBack, takeTurn } from './plan-actions';
import { AllItems, LogList, TodayList } from './plan-lists';
import { PlanSettings } from './plan-settings';
import { planTitle, stepOfTurn, stepWords, WENT_WORDS } from './plan-words';
import { goToTurn, TurnHeading, TurnNow } from './turn-now';
import { type PlanNow, usePlan } from './use-plan';
import '../../shared/pages.css';
import './plan.css';

/** `#/plan/ID`: what is practised of a lesson today; `?item=` takes one of its items before the others. */
export function PlanPage({ route }: { readonly route: RouteOf<'plan'> }) {
  const now = usePlan(route.id);
  const { state } = useLibrary();
  if (now !== null && 'done' in now) {
    const { done, total } = now;
    const far = total === 0 ? '' : ` ${done} of ${total} turns`;
    return <p role="status">Reading the log …{far}</p>;
  }
  if (now !== null) return <Sheet key={route.id} now={now} route={route} />;
  if (state === 'opening') return <OpeningPage />;
  return (
    <NotHere kind={PLANS} id={route.id}>
      <p>
        <a href={addressOf({ page: 'lessons', query: {} })}>See the lessons and plans</a>
      </p>
    </NotHere>
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
  const [tapped, setTapped] = useState(false);
  const onTap = useCallback(() => setTapped(true), []);
  const take = (item: PlanItem) => {
    onTap();
    // What comes in its place has the focus from it.
    goToTurn();
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
      <SharedLog plan={plan} beside={now.beside} />
      {lesson === null ? (
        <p className="problem">
          The lesson of this plan is not in the library. Bring it in, and the plan goes on; its log
          is here.
        </p>
      ) : items.length === 0 ? (
        <p className="problem">The lesson has no music yet.</p>
      ) : (
        <Turns now={now} route={route} nameOf={nameOf} tapped={tapped} onTap={onTap} />
      )}
      <p className="plan-care">
        Warm up, take breaks, keep the volume moderate. Stop when it hurts, and ask a teacher or a
        clinician.
      </p>
      <TodayList now={now} nameOf={nameOf} current={standingNow(now, route)?.item.key ?? null} />
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
      <p>
        <a className="alone" href={addressOf({ page: 'past', of: 'plan', id: plan.id, query: {} })}>
          Earlier versions of this plan
        </a>
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

/** Two versions of a plan are of one student: what is practised in one counts in both, which is said. */
function SharedLog({ plan, beside }: { readonly plan: Plan; readonly beside: readonly Plan[] }) {
  if (beside.length === 0) return null;
  return (
    <p className="quiet">
      The log is shared with{' '}
      {beside.map((p, i) => (
        <span key={p.id}>
          {i === 0 ? '' : i === beside.length - 1 ? ' and ' : ', '}
          <a href={addressOf({ page: 'plan', id: p.id, query: {} })}>{planTitle(p)}</a>
          {planTitle(p) === planTitle(plan)
            ? `, changed ${dayName(p.meta.modified.slice(0, 10))}`
            : ''}
        </span>
      ))}
      : what is practised in one counts in {beside.length === 1 ? 'both' : 'all'}. Remove the one
      you do not need, and the log stays with the other; <q>The same for another student</q> begins
      a log of its own.
    </p>
  );
}

/** Where that stands which is practised now: what was taken from the list, else what is next. */
function standingNow({ all, sitting }: PlanNow, { query }: RouteOf<'plan'>): Standing | null {
  const of = (key: string | undefined) => all.find((s) => s.item.key === key);
  return of(query.item) ?? of(sitting.next?.item.key) ?? null;
}

interface TurnsProps extends SheetProps {
  readonly nameOf: (item: PlanItem) => string;
  /** Whether anything was tapped that brings another turn, and what says so. */
  readonly tapped: boolean;
  readonly onTap: () => void;
}

/** One turn after the other, until the day is done. */
function Turns({ now, route, nameOf, tapped, onTap }: TurnsProps) {
  const { plan, sitting, today, turns } = now;
  const app = useApp();
  const [last, setLast] = useState<Turn | null>(null);
  const standing = standingNow(now, route);
  const name = standing === null ? '' : nameOf(standing.item);
  const key = standing?.item.key ?? '';
  const taken = route.query.item;
  const writing = useRef(false);
  const onWent = useCallback(
    (at: StepTake, went: Went) => {
      // A key that is held, or a second tap, is not another turn.
      if (writing.current) return;
      writing.current = true;
      onTap();
      void takeTurn(app, plan, { item: key, title: name, step: at.step, went }, today, turns)
        .then((turn) => {
          if (turn === null) return;
          setLast(turn);
          leave(plan.id, taken);
        })
        .finally(() => {
          writing.current = false;
        });
    },
    [app, plan, key, name, today, turns, taken, onTap],
  );
  const takeItBack = async (turn: Turn) => {
    if (!(await takeBack(app, turn))) return;
    // Before the button goes.
    goToTurn();
    setLast((shown) => (shown === turn ? null : shown));
  };
  const time = key !== taken && (sitting.next?.time ?? 1) > 1 ? 'Again today.' : '';
  return (
    <>
      <p role="status" className="turn-last">
        {last === null ? null : (
          <>
            {last.meta.title}, {stepWords(stepOfTurn(last))}: {WENT_WORDS[last.went].toLowerCase()}.{' '}
            <button type="button" className="plain" onClick={() => void takeItBack(last)}>
              Take it back
            </button>
          </>
        )}
      </p>
      {standing === null ? (
        <DayDone now={now} follows={tapped} />
      ) : (
        <TurnNow
          key={`${key} ${standing.turns.length}`}
          now={now}
          standing={standing}
          name={name}
          time={time}
          follows={tapped}
          onWent={onWent}
        />
      )}
    </>
  );
}

/** After the turn of an item that was taken the day goes on, unless somebody has gone elsewhere by then. */
function leave(id: string, taken: string | undefined): void {
  const here = parseRoute(window.location.hash);
  if (taken === undefined || here.page !== 'plan') return;
  if (here.id === id && here.query.item === taken) navigate({ ...here, query: {} }, 'replace');
}

/** Nothing is left for today. */
function DayDone(props: Pick<SheetProps, 'now'> & { readonly follows: boolean }) {
  const { sitting, all, today } = props.now;
  const soonest = all
    .map((s) => s.due)
    .filter((day) => day > today)
    .sort()[0];
  const done = sitting.places.length > 0;
  return (
    <section className="turn" aria-labelledby="turn-name">
      <TurnHeading follows={props.follows}>
        {done ? 'Done for today' : 'Nothing is due today'}
      </TurnHeading>
      <p>
        {sitting.waiting.length > 0
          ? 'What there was no time for comes first tomorrow. '
          : soonest === undefined
            ? ''
            : `The next day with something due is ${dayName(soonest)}. `}
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
        ...(lesson === null
          ? []
          : [
              of('plan.all', 'Save lesson, plan and log', 'export student file give', () =>
                saveLog(app, plan, turns, lesson),
              ),
            ]),
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
