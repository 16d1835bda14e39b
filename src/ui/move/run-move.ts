import { type Choices, choicesFor, type GoalKind, readGoal } from '../../core/move/goal';
import { movePhrase } from '../../core/move/move';
import type { Destination, MoveReport, MoveRequest, Way } from '../../core/move/request';
import type { Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { formatKey } from '../../core/theory/key';
import type { MoveForm } from './move-form';

/** What became of the form: nothing asked yet, a reason why it cannot be, or the moved phrase. */
export type Outcome =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'problems'; readonly problems: readonly Problem[] }
  | { readonly kind: 'moved'; readonly phrase: Phrase; readonly report: MoveReport };

/** The choices of the form as they stand: what goes with the goal, and what of it is in use. */
export interface ChoicesInUse extends Choices {
  readonly way: Way;
}

/** A goal of each kind that makes sense everywhere: its choices stand while another is being typed. */
const ANY_GOAL: Readonly<Record<GoalKind, (p: Phrase) => string>> = {
  chord: () => 'I',
  key: (p) => formatKey(p.key),
  lane: () => 'I',
  steps: () => '1',
  octaves: () => '1',
  beat: () => '1:1',
};

/**
 * What can be chosen for the form's goal; null without one. A way in the address that does not go
 * with the goal counts as the usual one.
 */
export function choicesInUse(p: Phrase, form: MoveForm): ChoicesInUse | null {
  if (form.goal === null) return null;
  const { kind } = form.goal;
  const typed = readGoal(form.goal, p.key);
  const to = typed.ok ? typed : readGoal({ kind, text: ANY_GOAL[kind](p) }, p.key);
  return to.ok ? choicesOf(p, to.value, form) : null;
}

function choicesOf(p: Phrase, to: Destination, form: MoveForm): ChoicesInUse {
  const { ways } = choicesFor(to, 'hold', p.key);
  const way = ways.find((w) => w === form.way) ?? ways[0]!;
  return { ...choicesFor(to, way, p.key), way };
}

/** Moves the phrase as the form says. Pure; a few milliseconds for a phrase of a few bars. */
export function runMove(p: Phrase, form: MoveForm): Outcome {
  const { goal } = form;
  if (goal === null || goal.text.trim() === '') return { kind: 'nothing' };
  const to = readGoal(goal, p.key);
  if (!to.ok) return { kind: 'problems', problems: to.problems };
  if (to.value.kind === 'steps' && to.value.steps === 0) return { kind: 'nothing' };
  const moved = movePhrase(p, requestOf(p, to.value, form));
  return moved.ok
    ? { kind: 'moved', ...moved.value }
    : { kind: 'problems', problems: moved.problems };
}

function requestOf(p: Phrase, to: Destination, form: MoveForm): MoveRequest {
  const { way, octaves } = choicesOf(p, to, form);
  const octave = octaves.find((o) => o === form.octave);
  return {
    to,
    way,
    adapt: way === 'hold' && to.kind !== 'beat' && form.adapt,
    ...(octave === undefined ? {} : { octave }),
    ...(form.hand === undefined ? {} : { hand: form.hand }),
  };
}
