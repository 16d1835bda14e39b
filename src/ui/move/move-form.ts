import { GOAL_KINDS, type Goal, type GoalKind } from '../../core/move/goal';
import {
  HAND_WAYS,
  type HandWay,
  OCTAVE_CHOICES,
  type OctaveChoice,
  WAYS,
  type Way,
  type Without,
} from '../../core/move/request';
import { noteTechniques } from '../../core/technique/table';
import type { Query } from '../shared/query';

/** One of several moves that are joined. */
export interface Step {
  readonly goal: Goal;
  readonly way?: Way;
  readonly octave?: OctaveChoice;
  readonly adapt: boolean;
}

/** All that is chosen on the page of a move; the page's address holds exactly this. */
export interface MoveForm {
  /** Moves that go before: what is chosen moves on from there. */
  readonly done: readonly Step[];
  readonly goal: Goal | null;
  /** Absent: the usual one for the goal. */
  readonly way?: Way;
  readonly octave?: OctaveChoice;
  readonly hand?: HandWay;
  /** Signs that are left out: a way out that a report has offered. */
  readonly without: readonly Without[];
  /** The suggestions of *hold* are applied. */
  readonly adapt: boolean;
}

export const EMPTY_FORM: MoveForm = { done: [], goal: null, without: [], adapt: false };

/** Names in the address: `to=IV7`, `key=Bb`, `lane=I7|IV7`, `steps=2`, `octaves=-1`, `instrument=ukulele`, `beat=2:1.5`. */
const PARAMS: Readonly<Record<GoalKind, string>> = {
  chord: 'to',
  key: 'key',
  lane: 'lane',
  steps: 'steps',
  octaves: 'octaves',
  instrument: 'instrument',
  beat: 'beat',
};

/** A step in the address: kind, text, way, octave and suggestions, divided by `~`. */
function writeStep({ goal, way, octave, adapt }: Step): string {
  return [goal.kind, goal.text, way ?? '', octave ?? '', adapt ? 'yes' : ''].join('~');
}

function readStep(text: string): readonly Step[] {
  const [k, goal = '', w, o, adapt] = text.split('~');
  const kind = pick(GOAL_KINDS, k);
  if (kind === undefined || goal === '') return [];
  const way = pick(WAYS, w);
  const octave = pick(OCTAVE_CHOICES, o);
  return [
    {
      goal: { kind, text: goal },
      adapt: adapt === 'yes',
      ...(way === undefined ? {} : { way }),
      ...(octave === undefined ? {} : { octave }),
    },
  ];
}

function readWithout(text: string): readonly Without[] {
  const [id, field] = text.split('~');
  const technique = NOTE_TECHNIQUES.find((t) => t === field);
  return id === undefined || id === '' || technique === undefined ? [] : [{ id, technique }];
}

const NOTE_TECHNIQUES = noteTechniques(() => true);

/** What is chosen becomes one of the moves that go before, and the next is to be chosen. */
export function movedOn(form: MoveForm): MoveForm {
  const { goal, way, octave, adapt, done, ...rest } = form;
  if (goal === null) return form;
  const step: Step = {
    goal,
    adapt,
    ...(way === undefined ? {} : { way }),
    ...(octave === undefined ? {} : { octave }),
  };
  return { ...rest, done: [...done, step], goal: null, adapt: false };
}

/** The last of the moves that go before is chosen again, in place of what was chosen. */
export function movedBack(form: MoveForm): MoveForm {
  const last = form.done.at(-1);
  if (last === undefined) return form;
  const { way: _w, octave: _o, ...rest } = form;
  return { ...rest, ...last, done: form.done.slice(0, -1) };
}

/** Reads the address; what is not understood is left out. */
export function readMoveForm(query: Query): MoveForm {
  const kind = GOAL_KINDS.find((k) => query[PARAMS[k]] !== undefined);
  const way = pick(WAYS, query.way);
  const octave = pick(OCTAVE_CHOICES, query.octave);
  const hand = pick(HAND_WAYS, query.hand);
  return {
    done: (query.done ?? '').split(';').flatMap(readStep),
    without: (query.without ?? '').split(',').flatMap(readWithout),
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
    ...(form.done.length === 0 ? {} : { done: form.done.map(writeStep).join(';') }),
    ...(form.without.length === 0
      ? {}
      : { without: form.without.map((w) => `${w.id}~${w.technique}`).join(',') }),
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
