import { GOAL_KINDS, type Goal, type GoalKind } from '../../core/move/goal';
import {
  HAND_WAYS,
  type HandWay,
  OCTAVE_CHOICES,
  type OctaveChoice,
  WAYS,
  type Way,
} from '../../core/move/request';
import type { Query } from '../shared/query';

/** All that is chosen on the page of a move; the page's address holds exactly this. */
export interface MoveForm {
  readonly goal: Goal | null;
  /** Absent: the usual one for the goal. */
  readonly way?: Way;
  readonly octave?: OctaveChoice;
  readonly hand?: HandWay;
  /** The suggestions of *hold* are applied. */
  readonly adapt: boolean;
}

export const EMPTY_FORM: MoveForm = { goal: null, adapt: false };

/** Names in the address: `to=IV7`, `key=Bb`, `lane=I7|IV7`, `steps=2`, `octaves=-1`, `beat=2:1.5`. */
const PARAMS: Readonly<Record<GoalKind, string>> = {
  chord: 'to',
  key: 'key',
  lane: 'lane',
  steps: 'steps',
  octaves: 'octaves',
  beat: 'beat',
};

/** Reads the address; what is not understood is left out. */
export function readMoveForm(query: Query): MoveForm {
  const kind = GOAL_KINDS.find((k) => query[PARAMS[k]] !== undefined);
  const way = pick(WAYS, query.way);
  const octave = pick(OCTAVE_CHOICES, query.octave);
  const hand = pick(HAND_WAYS, query.hand);
  return {
    goal: kind === undefined ? null : { kind, text: query[PARAMS[kind]] ?? '' },
    adapt: query.adapt === 'yes',
    ...(way === undefined ? {} : { way }),
    ...(octave === undefined ? {} : { octave }),
    ...(hand === undefined ? {} : { hand }),
  };
}

/** The inverse of `readMoveForm`; empty for an empty form. */
export function writeMoveForm(form: MoveForm): Query {
  return {
    ...(form.goal === null ? {} : { [PARAMS[form.goal.kind]]: form.goal.text }),
    ...(form.way === undefined ? {} : { way: form.way }),
    ...(form.octave === undefined ? {} : { octave: form.octave }),
    ...(form.hand === undefined ? {} : { hand: form.hand }),
    ...(form.adapt ? { adapt: 'yes' } : {}),
  };
}

function pick<T extends string>(choices: readonly T[], text: string | undefined): T | undefined {
  return choices.find((c) => c === text);
}
