import * as z from 'zod/mini';
import { GOAL_KINDS } from '../../core/move/goal';
import { PLAN_BOUNDS, PLAN_VERSION, TURN_VERSION, WENT } from '../../core/plan/types';
import { SPEED } from '../../core/practice/types';
import { cycle } from './lesson-schema';
import { day, head, times } from './record-schema';
import { doc, identity, text, whole } from './schema-parts';

/*
 * The structure of plans for practice and of the turns of their logs. What right ones must keep besides
 * is in `core/plan/check.ts`. Field order here is field order in files.
 */

const goal = z.strictObject({ kind: z.enum(GOAL_KINDS), text: text(1, 2_000) });
const percent = () => whole(SPEED.least, SPEED.most);
const bounded = ({ least, most }: { readonly least: number; readonly most: number }) =>
  whole(least, most);

export const planSchema = z.strictObject({
  format: z.literal('degreewise-plan'),
  version: z.literal(PLAN_VERSION),
  ...head,
  meta: z.strictObject({ title: text(0, 500), ...times }),
  student: z.exactOptional(doc(text(1, 200), 'Who practises.')),
  lesson: doc(identity, 'Id of a lesson, which may not be in the library.'),
  log: doc(identity, 'What the turns of its log name.'),
  begun: day,
  seed: doc(whole(0, 2 ** 31 - 1), 'Draws the order of a day.'),
  minutes: doc(bounded(PLAN_BOUNDS.minutes), 'Length of practice on a day.'),
  fresh: doc(bounded(PLAN_BOUNDS.fresh), 'So many items come for the first time on a day.'),
  tempo: doc(
    z.strictObject({ from: percent(), by: bounded(PLAN_BOUNDS.by), to: percent() }),
    'Percent of the written tempo.',
  ),
  keys: cycle,
});

export const turnSchema = z.strictObject({
  format: z.literal('degreewise-turn'),
  version: z.literal(TURN_VERSION),
  ...head,
  meta: z.strictObject({
    title: doc(text(0, 500), 'What the item was called on that day.'),
    ...times,
  }),
  log: doc(identity, 'The log of a plan, which may not be in the library.'),
  day,
  item: doc(text(1, 3_000), 'What was practised: kind, id of the phrase, what was asked of it.'),
  speed: doc(percent(), 'Percent of the written tempo.'),
  goal: z.exactOptional(doc(goal, 'Where it was moved.')),
  went: doc(z.enum(WENT), 'How it went.'),
});
