import { type Goal, readKey } from '../move/goal';
import type { Phrase } from '../phrase/types';
import { goalsOf, isTake, takeOf } from '../practice/takes';
import type { LeftOut, Take } from '../practice/types';
import { formatKey } from '../theory/key';
import type { PlanItem } from './items';
import type { Plan, PlanStep, Turn, Went } from './types';

type Rises = Pick<Plan, 'tempo' | 'keys'>;

/** So many tempos of a further key are practised: the last of those of the first one. */
const TEMPOS_OF_A_KEY = 2;

/**
 * The steps of an item, the easiest first: its tempos where it is written, then each further key or
 * chord at the last two of them. Only phrases go through keys; exercises have what they ask for.
 */
export function ladderOf({ item, phrase }: PlanItem, { tempo, keys }: Rises): readonly PlanStep[] {
  const speeds = temposOf(tempo);
  const home = speeds.map((speed): PlanStep => ({ speed, goal: null }));
  if (item.kind !== 'phrase') return home;
  const goals = goalsOf(phrase, keys);
  // What the list means to say may make no sense in the key of this phrase: it stays where it is.
  const others = goals.ok ? furtherGoals(phrase, goals.value) : [];
  const above = speeds.slice(-TEMPOS_OF_A_KEY);
  return [...home, ...others.flatMap((goal) => above.map((speed): PlanStep => ({ speed, goal })))];
}

/**
 * Where a phrase goes besides its own key, each place once however often a list names it (I IV I V): the
 * log says where a turn was, and not the how manieth time.
 */
function furtherGoals({ key }: Phrase, goals: readonly (Goal | null)[]): readonly Goal[] {
  const home = formatKey(key);
  const further = new Map<string, Goal>();
  for (const goal of goals) {
    if (goal === null) continue;
    const to = goal.kind === 'key' ? readKey(goal.text, key) : null;
    if (to === null || formatKey(to) !== home) further.set(`${goal.kind} ${goal.text}`, goal);
  }
  return [...further.values()];
}

/** Ascending, in percent; the one to arrive at is the last, and the only one where none is slower. */
export function temposOf({ from, by, to }: Plan['tempo']): readonly number[] {
  const below: number[] = [];
  for (let speed = from; speed < to; speed += by) below.push(speed);
  return [...below, to];
}

/** The place of a turn on the ladder; the nearest one, where the ladder was another then. */
export function placeOfTurn(
  ladder: readonly PlanStep[],
  { speed, goal }: Pick<Turn, 'speed' | 'goal'>,
): number {
  const same = (s: PlanStep) => s.goal?.kind === goal?.kind && s.goal?.text === goal?.text;
  const there = ladder.flatMap((s, i) => (same(s) ? [i] : []));
  // A key that is no longer asked for came after the written one.
  if (there.length === 0) return homeTop(ladder);
  const slower = there.filter((i) => ladder[i]!.speed <= speed);
  return slower.at(-1) ?? there[0]!;
}

/** Where the written key is at its tempo. */
const homeTop = (ladder: readonly PlanStep[]) => ladder.filter((s) => s.goal === null).length - 1;

/**
 * The place that follows a turn: one step on when it sits, one back when it does not come yet. Behind
 * the last step it goes round again from the written key at its tempo.
 */
export function placeAfter(ladder: readonly PlanStep[], place: number, went: Went): number {
  if (went === 'nearly') return place;
  if (went === 'not yet') return Math.max(0, place - 1);
  return place + 1 < ladder.length ? place + 1 : homeTop(ladder);
}

/** A step that can be played, with the music, and the keys that were passed over on the way to it. */
export interface StepTake {
  readonly step: PlanStep;
  readonly take: Take;
  readonly leftOut: readonly LeftOut[];
}

/**
 * The step at a place, or the next one in a direction of which the neck has the notes. The written key
 * always has them, so that there is one.
 */
export function stepAt(
  { phrase }: PlanItem,
  ladder: readonly PlanStep[],
  place: number,
  direction: 1 | -1,
): StepTake {
  const leftOut: LeftOut[] = [];
  for (let i = place; i >= 0 && i < ladder.length; i += direction) {
    const step = ladder[i]!;
    if (leftOut.some((o) => o.goal === step.goal)) continue;
    const take = takeOf(phrase, step.goal);
    if (isTake(take)) return { step, take, leftOut };
    leftOut.push(take);
  }
  return { step: ladder[homeTop(ladder)]!, take: { goal: null, phrase, changes: [] }, leftOut };
}
