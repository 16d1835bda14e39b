import type { Lesson } from '../../core/lesson/types';
import { nextStep, type Standing, standings } from '../../core/plan/due';
import { type PlanItem, planItems } from '../../core/plan/items';
import { sittingOf } from '../../core/plan/sitting';
import type { Day, Plan, Turn } from '../../core/plan/types';
import type { Problem } from '../../core/result';
import type { Kind, Thing } from '../../io/kinds/kind';
import { LESSONS, PLANS, TURNS } from '../../io/kinds/kinds';
import { headingOf } from '../../publish/lesson/items';
import { ofKind } from '../of-kind';
import type { PlanOptions } from '../plan-flags';
import type { Shell } from '../shell';
import { count, localDay } from '../words';

/** A turn that is due, as it is told. */
interface ToldTurn {
  readonly item: string;
  readonly name: string;
  /** The first, second or third time on this day. */
  readonly time: number;
  /** Percent of the written tempo. */
  readonly speed: number;
  /** A key or chord; null where it is written. */
  readonly goal: string | null;
  /** Keys that the neck does not have, which were passed over. */
  readonly leftOut: readonly string[];
  readonly last: { readonly day: Day; readonly went: string } | null;
  /** How it went on this day; null while it is to come. */
  readonly done: string | null;
}

interface ToldPlan {
  readonly plan: string;
  readonly title: string;
  readonly student: string | null;
  /** Null where the files do not hold it. */
  readonly lesson: string | null;
  readonly day: Day;
  readonly minutes: number;
  readonly turns: readonly ToldTurn[];
  /** Due, but there is no time for them. */
  readonly waiting: readonly string[];
  /** What comes on other days. */
  readonly later: readonly { readonly name: string; readonly due: Day }[];
}

/** Tells what the practice plans among things ask for on a day. */
export function tellPlans(shell: Shell, o: PlanOptions, things: readonly Thing[]): void {
  const of = <T extends Plan | Lesson | Turn>(kind: Kind<T>) => {
    // What stands in several files is one, as it was changed last.
    const when = ({ meta }: T) => Date.parse(meta.modified);
    const oldestFirst = [...ofKind(things, kind)].sort((a, b) => when(a) - when(b));
    return [...new Map(oldestFirst.map((one) => [one.id, one])).values()];
  };
  const known = of(PLANS);
  const plans = known.filter((p) => o.student === undefined || p.student === o.student);
  if (plans.length === 0) {
    shell.misuse(noPlan(known, o.student));
    return;
  }
  const [lessons, turns] = [of(LESSONS), of(TURNS)];
  const day = o.day ?? localDay(shell.io.now());
  const told = plans.map((plan) =>
    tellPlan(
      o.minutes === undefined ? plan : { ...plan, minutes: o.minutes },
      lessons.find((l) => l.id === plan.lesson) ?? null,
      turns,
      day,
    ),
  );
  if (o.json) shell.print(`${JSON.stringify({ plans: told }, null, 2)}\n`);
  else shell.print(`${told.map(planText).join('\n')}\n${CAUTION}\n`);
}

/** What to do where nothing is told: the plans that there are name other students, or there is none. */
function noPlan(known: readonly Plan[], student: string | undefined): Problem {
  if (known.length === 0 || student === undefined) {
    return {
      message: 'the files hold no practice plan',
      fix: "In the app, open a lesson and press 'Practise this', then save the library.",
    };
  }
  const names = [...new Set(known.flatMap((p) => p.student ?? []))].sort();
  return {
    message: `the files hold no practice plan of ${student}`,
    fix:
      names.length === 0
        ? 'Leave out --student: their plans name nobody.'
        : `Leave out --student, or name one of these: ${names.join(', ')}.`,
  };
}

const CAUTION =
  'Warm up, take breaks, keep the volume moderate; stop when it hurts and ask a teacher or clinician.';

function tellPlan(plan: Plan, lesson: Lesson | null, turns: readonly Turn[], day: Day): ToldPlan {
  const items = lesson === null ? [] : planItems(lesson);
  const all = standings(plan, items, turns, day);
  const { places, minutes, waiting } = sittingOf(plan, items, turns, day);
  const nameOf = ({ item }: PlanItem) =>
    item.heading ?? (lesson === null ? item.kind : headingOf(lesson, item));
  const byKey = new Map(all.map((s) => [s.item.key, s]));
  const asked = new Set([...places.map((p) => p.item), ...waiting].map((i) => i.key));
  return {
    plan: plan.id,
    title: plan.meta.title,
    student: plan.student ?? null,
    lesson: lesson?.meta.title ?? null,
    day,
    minutes,
    turns: places.map(({ item, time, done }) => ({
      item: item.key,
      name: nameOf(item),
      time,
      ...stepOf(plan, byKey.get(item.key)!, done),
      done: done?.went ?? null,
    })),
    waiting: waiting.map(nameOf),
    later: all
      .filter((s) => !asked.has(s.item.key))
      .map((s) => ({ name: nameOf(s.item), due: s.due })),
  };
}

/** Where a turn stands: as it was taken, or as it is to be. */
function stepOf(plan: Plan, standing: Standing, done: Turn | null) {
  const last = standing.turns.at(-1);
  const told = last === undefined ? null : { day: last.day, went: last.went };
  if (done !== null) {
    return { speed: done.speed, goal: done.goal?.text ?? null, leftOut: [], last: told };
  }
  const { step, leftOut } = nextStep(plan, standing);
  return {
    speed: step.speed,
    goal: step.goal?.text ?? null,
    leftOut: leftOut.map((o) => o.goal.text),
    last: told,
  };
}

function planText(p: ToldPlan): string {
  const whose = p.student === null ? '' : `, ${p.student}`;
  const head = `${p.title}${whose}, ${p.day}: `;
  if (p.lesson === null) return `${head}the lesson of this plan is not in the files\n`;
  const long = Math.max(...p.turns.map((t) => t.name.length), 0);
  const lines = p.turns.map((t, i) => {
    const at = `${t.speed} %${t.goal === null ? '' : `, ${t.goal}`}`;
    const out = t.leftOut.length === 0 ? '' : `; left out: ${t.leftOut.join(', ')}`;
    const how = t.done ?? (t.last === null ? 'new' : `${t.last.went} on ${t.last.day}`);
    const state = t.done === null ? how : `done: ${how}`;
    return `  ${String(i + 1).padStart(2)}  ${t.name.padEnd(long)}  ${at.padEnd(16)}  ${state}${out}\n`;
  });
  const about = `${count(p.turns.length, 'turn')}, about ${count(p.minutes, 'minute')}`;
  const what = p.turns.length === 0 ? 'nothing is due' : about;
  const waiting = p.waiting.length === 0 ? '' : `  also due: ${p.waiting.join(', ')}\n`;
  const later = p.later.map((l) => `  ${l.due}  ${l.name}\n`).join('');
  return `${head}${what}\n${lines.join('')}${waiting}${later === '' ? '' : ` later\n${later}`}`;
}
