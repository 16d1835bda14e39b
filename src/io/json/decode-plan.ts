import { checkPlan, checkTurn } from '../../core/plan/check';
import type { Plan, Turn } from '../../core/plan/types';
import { fail, type Result } from '../../core/result';
import { planSchema, turnSchema } from './plan-schema';
import { structured } from './structured';
import { PLAN_MIGRATIONS, TURN_MIGRATIONS } from './versions';

/** A plan for practice; else what is wrong with it, with the path of the field. Never throws. */
export function decodePlan(input: unknown): Result<Plan> {
  const read = structured(input, PLAN_MIGRATIONS, planSchema);
  const senseless = read.ok ? checkPlan(read.value) : [];
  return senseless.length === 0 ? read : fail(...senseless);
}

/** A turn of a log; else what is wrong with it, with the path of the field. Never throws. */
export function decodeTurn(input: unknown): Result<Turn> {
  const read = structured(input, TURN_MIGRATIONS, turnSchema);
  const senseless = read.ok ? checkTurn(read.value) : [];
  return senseless.length === 0 ? read : fail(...senseless);
}
