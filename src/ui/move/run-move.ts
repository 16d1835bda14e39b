import { type Choices, choicesFor, type GoalKind, readGoal } from '../../core/move/goal';
import { movePhraseOn } from '../../core/move/move';
import type { Destination, MoveReport, MoveRequest, Way } from '../../core/move/request';
import { metersOf } from '../../core/phrase/read-beat';
import type { Phrase } from '../../core/phrase/types';
import { ok, type Problem, type Result } from '../../core/result';
import { formatKey, type Key } from '../../core/theory/key';
import { type MoveForm, movedOn, type Step } from './move-form';

/** What became of the form: nothing asked yet, a reason why it cannot be, or the moved phrase. */
export type Outcome =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'problems'; readonly problems: readonly Problem[] }
  | {
      readonly kind: 'moved';
      readonly phrase: Phrase;
      readonly report: MoveReport;
      /** Where it went, move by move. */
      readonly to: readonly Destination[];
    };

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
  instrument: () => 'guitar',
  beat: () => '1:1',
};

/**
 * What can be chosen for the form's goal; null without one.
 * @param p The phrase as the moves before have left it. A way in the address that does not go
 * with the goal counts as the usual one.
 */
export function choicesInUse(p: Phrase, form: MoveForm): ChoicesInUse | null {
  if (form.goal === null) return null;
  const { kind } = form.goal;
  const typed = readGoal(form.goal, p.key, metersOf(p));
  const to = typed.ok ? typed : readGoal({ kind, text: ANY_GOAL[kind](p) }, p.key);
  return to.ok ? choicesOf(to.value, form.way, p.key) : null;
}

function choicesOf(to: Destination, asked: Way | undefined, key: Key): ChoicesInUse {
  const { ways } = choicesFor(to, 'hold', key);
  const way = ways.find((w) => w === asked) ?? ways[0]!;
  return { ...choicesFor(to, way, key), way };
}

/** Moves the phrase as the form says, over all that goes before. Pure; a few milliseconds for a phrase of a few bars. */
export function runMove(p: Phrase, form: MoveForm): Outcome {
  const { goal, done } = form;
  const asked = goal !== null && goal.text.trim() !== '';
  if (!asked && done.length === 0) return { kind: 'nothing' };
  const requests = requestsOf(p, asked ? movedOn(form).done : done, form);
  if (!requests.ok) return { kind: 'problems', problems: requests.problems };
  const last = requests.value.at(-1)!.to;
  if (last.kind === 'steps' && last.steps === 0) return { kind: 'nothing' };
  const moved = movePhraseOn(p, requests.value);
  return moved.ok
    ? { kind: 'moved', ...moved.value, to: requests.value.map((r) => r.to) }
    : { kind: 'problems', problems: moved.problems };
}

/** The requests of steps, each read in the key that those before lead to. */
export function requestsOf(
  p: Phrase,
  steps: readonly Step[],
  { hand, without }: Pick<MoveForm, 'hand' | 'without'>,
): Result<readonly MoveRequest[]> {
  const requests: MoveRequest[] = [];
  let { key } = p;
  for (const step of steps) {
    const to = readGoal(step.goal, key, metersOf(p));
    if (!to.ok) return to;
    const first = requests.length === 0 && without.length > 0 ? { without } : {};
    requests.push({ ...requestOf(to.value, step, key), ...(hand && { hand }), ...first });
    if (to.value.kind === 'key') key = to.value.key;
  }
  return ok(requests);
}

function requestOf(to: Destination, step: Step, key: Key): MoveRequest {
  const { way, octaves } = choicesOf(to, step.way, key);
  const octave = octaves.find((o) => o === step.octave);
  return {
    to,
    way,
    adapt: way === 'hold' && to.kind !== 'beat' && step.adapt,
    ...(octave === undefined ? {} : { octave }),
  };
}
