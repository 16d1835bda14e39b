import type { Lesson } from '../../../core/lesson/types';
import { momentOfTurn, newPlan, newTurn, planForAnother } from '../../../core/plan/edit';
import type { Day, Plan, PlanStep, Turn, Went } from '../../../core/plan/types';
import { LESSONS, PLANS, TURNS } from '../../../io/kinds/kinds';
import { libraryPieces } from '../../../io/library/write';
import { fileStem } from '../../../publish/file-names';
import type { ThingName } from '../../../storage/types';
import type { App } from '../../frame/app-context';
import { today } from '../../frame/around-library';
import { inParts, restoreThings } from '../../frame/keep-and-remove';
import { navigate } from '../../frame/use-route';
import { saveFile } from '../../shared/save-file';
import { refusalInWords } from '../../shared/save-words';
import { count } from '../../shared/words';
import { planTitle } from './plan-words';

/** Goes to the plan of a lesson: one that is there, best one that names nobody; else a new one. */
export async function practiseLesson(app: App, lesson: Lesson): Promise<void> {
  const plans = app.store
    .of(PLANS)
    .all()
    .map((s) => s.value)
    .filter((p) => p.lesson === lesson.id);
  const there = plans.find((p) => p.student === undefined) ?? plans[0];
  if (there !== undefined) return goTo(there);
  await keep(app, newPlan(lesson, birth(app)));
}

/** The same plan for another student, whose name is still to be written. */
export async function planAnother(app: App, plan: Plan): Promise<void> {
  await keep(app, planForAnother(plan, birth(app)));
}

const birth = (app: App) => ({
  id: app.newId(),
  now: app.now(),
  day: today(),
  seed: Math.floor(Math.random() * 2 ** 31),
});

const goTo = ({ id }: Plan) => navigate({ page: 'plan', id, query: {} });

/** A plan is on its way to the disk. */
let making = false;

async function keep(app: App, plan: Plan): Promise<void> {
  // A second tap makes no second plan.
  if (making) return;
  making = true;
  try {
    const saved = await app.store.of(PLANS).save(plan, null);
    if (saved.kind === 'saved') return goTo(plan);
    const why = saved.kind === 'conflict' ? [] : refusalInWords(saved);
    app.notices.trouble('The plan was not kept.', why);
  } finally {
    making = false;
  }
}

/**
 * Writes down how a turn went.
 * @param turns Those of its log, which it comes after.
 * @returns it, once it is on the disk; null where it could not be kept, which is said.
 */
export async function takeTurn(
  app: App,
  plan: Plan,
  taken: {
    readonly item: string;
    readonly title: string;
    readonly step: PlanStep;
    readonly went: Went;
  },
  day: Day,
  turns: readonly Turn[],
): Promise<Turn | null> {
  const now = momentOfTurn(app.now(), turns, day);
  const turn = newTurn(plan, taken, { id: app.newId(), now, day });
  const saved = await app.store.of(TURNS).save(turn, null);
  if (saved.kind === 'saved') return turn;
  const why = saved.kind === 'conflict' ? [] : refusalInWords(saved);
  app.notices.trouble('It was not written down.', why);
  return null;
}

/** Takes a turn out of the log again. @returns whether it is out; where not, that is said. */
export async function takeBack(app: App, turn: Turn): Promise<boolean> {
  const gone = await app.store.of(TURNS).remove([turn.id]);
  if (gone.kind === 'done') return true;
  app.notices.trouble('It was not taken back.', refusalInWords(gone));
  return false;
}

/**
 * Saves a plan with its log as a file, to be brought in elsewhere: turns that are there already stay as
 * they are, others join them.
 * @param lesson Goes along, for somebody who does not have it.
 */
export function saveLog(
  app: App,
  plan: Plan,
  turns: readonly Turn[],
  lesson: Lesson | null = null,
): void {
  const others = [...(lesson === null ? [] : [lesson]), plan, ...turns];
  const stem = fileStem(planTitle(plan));
  const name = lesson === null ? `${stem}-log.json` : `${stem}-practice.json`;
  const content = [...libraryPieces([], others)].join('');
  saveFile({ name, type: 'application/json', content });
  const what = lesson === null ? 'The plan' : 'The lesson, the plan';
  app.notices.done(
    `${what} and ${count(turns.length, 'turn')} are saved as ${name}. Whoever has it brings it in like any file.`,
  );
}

/**
 * Removes a plan with its log, which is said; undo brings both back. A log that another plan has as well
 * stays with that one.
 * @returns whether it is gone.
 */
export async function removePlan(app: App, plan: Plan): Promise<boolean> {
  const { store, notices } = app;
  // What was typed of it just now comes back with it.
  await app.queue.flush();
  const stored = store.of(PLANS).all();
  const shared = stored.some((s) => s.id !== plan.id && s.value.log === plan.log);
  const turns = shared ? [] : store.of(TURNS).inGroup(plan.log);
  // The plan goes last: stopped before that, it is still there with what is left.
  const things: readonly ThingName[] = [
    ...turns.map(({ id }) => ({ kind: TURNS, id })),
    { kind: PLANS, id: plan.id },
  ];
  const { done, refused } = await inParts(app, things, 'Removing', (some) =>
    store.things.remove(some),
  );
  const gone = done.some((t) => t.kind === PLANS);
  if (!gone) {
    notices.trouble('The plan was not removed.', refused ?? []);
    if (done.length > 0) await restoreThings(app, done);
    return false;
  }
  const log = turns.length === 0 ? '' : ` with its log of ${count(turns.length, 'turn')}`;
  notices.done(
    shared
      ? `The plan of “${planTitle(plan)}” was removed. Its log stays with the other plan that has it.`
      : `The plan of “${planTitle(plan)}” was removed${log}.`,
    { label: 'Undo', run: () => void restoreThings(app, done) },
  );
  return true;
}

/** The lesson of a plan, where the library has it. */
export const lessonOfPlan = (app: App, { lesson }: Plan): Lesson | null =>
  app.store.of(LESSONS).get(lesson)?.value ?? null;
