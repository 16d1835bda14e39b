import {
  GOAL_KINDS,
  type Goal,
  readGoal,
  readWithout,
  wayProblem,
  waysFor,
} from '../core/move/goal';
import {
  type Destination,
  HAND_WAYS,
  type HandWay,
  type MoveRequest,
  OCTAVE_CHOICES,
  type OctaveChoice,
  WAYS,
  type Way,
  type Without,
} from '../core/move/request';
import { spread } from '../core/move/several';
import { fail, ok, type Problem, type Result } from '../core/result';
import type { Key } from '../core/theory/key';
import { readChoice } from './flag-values';
import type { Flag, Flags } from './flags';

/** The options that say where and how a phrase is moved. */
export const MOVE: readonly Flag[] = [
  ...[...GOAL_KINDS, 'way', 'octave', 'hand', 'without'].map(
    (name): Flag => ({ name, takes: 'value' }),
  ),
  { name: 'adapt', takes: 'nothing' },
];

/** How to move; goals are read again in the key of each phrase (D6). */
export interface MoveOptions {
  /** In the order they stand on the command line: one move after the other. */
  readonly goals: readonly Goal[];
  readonly way?: Way;
  readonly adapt: boolean;
  readonly octave?: OctaveChoice;
  readonly hand?: HandWay;
  /** Signs that are left out before the first move. */
  readonly without?: readonly Without[];
}

export function readMove(flags: Flags): Result<MoveOptions> {
  const way = readChoice(flags, 'way', WAYS);
  const octave = readChoice(flags, 'octave', OCTAVE_CHOICES);
  const hand = readChoice(flags, 'hand', HAND_WAYS);
  if (!way.ok) return way;
  if (!octave.ok) return octave;
  if (!hand.ok) return hand;
  const goals = readGoals(flags);
  if (!goals.ok) return goals;
  const signs = flags.values.get('without');
  const without = signs === undefined ? null : readWithout(signs);
  if (without !== null && !without.ok) {
    return fail(...inOption('without', signs ?? '', without.problems));
  }
  const adapt = flags.values.has('adapt');
  const options: MoveOptions = {
    goals: goals.value,
    adapt,
    ...(way.value === undefined ? {} : { way: way.value }),
    ...(octave.value === undefined ? {} : { octave: octave.value }),
    ...(hand.value === undefined ? {} : { hand: hand.value }),
    ...(without === null ? {} : { without: without.value }),
  };
  const wrong = nonsense(options);
  return wrong.length === 0 ? ok(options) : fail(...wrong);
}

/** What makes no sense whatever the phrase: which chord a numeral is, depends on it; that it is one, does not. */
function nonsense(options: MoveOptions): readonly Problem[] {
  const lists = spread(options.goals, ANY_KEY);
  if (!lists.ok) return lists.problems;
  for (const goal of lists.value.flat()) {
    const to = readGoal(goal, ANY_KEY);
    if (!to.ok) return inOption(goal.kind, goal.text, to.problems);
  }
  const requests = requestsOf(options, lists.value[0]!, ANY_KEY);
  if (!requests.ok) return requests.problems;
  // Whether a key is one of the other mode shows only when the phrase is read.
  const asked = requests.value.filter((r) => r.to.kind !== 'key' || r.way !== 'real');
  const wrong = asked.flatMap((r) => wayProblem(r, ANY_KEY) ?? [])[0];
  return wrong === undefined ? [] : [inFlags(wrong, options)];
}

/**
 * The moves that the options mean for a phrase in a key, joined. A way, an octave and --adapt hold
 * for those moves that they go with, and for all of them where they go with none.
 */
export function requestsOf(
  options: MoveOptions,
  goals: readonly Goal[],
  key: Key,
): Result<readonly MoveRequest[]> {
  const { goals: _, way, adapt, ...how } = options;
  const found: Destination[] = [];
  let here = key;
  for (const goal of goals) {
    const to = readGoal(goal, here);
    if (!to.ok) return to;
    found.push(to.value);
    if (to.value.kind === 'key') here = to.value.key;
  }
  const goes = (to: Destination) => way !== undefined && waysFor(to, key).includes(way);
  const none = !found.some(goes);
  return ok(
    found.map((to) => {
      const named = way !== undefined && (none || goes(to)) ? { way } : {};
      return { to, adapt: adapt && (none || goes(to)), ...named, ...how };
    }),
  );
}

function readGoals(flags: Flags): Result<readonly Goal[]> {
  // Options keep the order in which they were written.
  const goals = [...flags.values].flatMap(([name, text]): Goal[] => {
    const kind = GOAL_KINDS.find((k) => k === name);
    return kind === undefined ? [] : [{ kind, text }];
  });
  if (goals.length > 0) return ok(goals);
  return flags.values.get('way') === 'tonal'
    ? fail({ message: 'the way tonal needs a number of scale steps', fix: 'Add --steps N.' })
    : fail({
        message: 'where to move is missing',
        fix: 'Add --key, --chord, --lane, --steps, --octaves, --instrument or --beat.',
      });
}

/** A musical contradiction, with the options in which it lies. */
function inFlags(p: Problem, o: MoveOptions): Problem {
  const flags = [
    ...o.goals.map((g) => `--${g.kind}`),
    ...(o.way === undefined ? [] : [`--way ${o.way}`]),
    ...(o.adapt ? ['--adapt'] : []),
  ];
  return { ...p, message: `${flags.join(', ')}: ${p.message}` };
}

/** What is wrong with the value of an option, with the place in it. */
function inOption(name: string, text: string, problems: readonly Problem[]): readonly Problem[] {
  return problems.map(({ bar, column, ...p }) => {
    const place = [
      bar === undefined ? '' : `, bar ${bar}`,
      column === undefined ? '' : `, at character ${column}`,
    ].join('');
    return { ...p, message: `in --${name} '${text}'${place}: ${p.message}` };
  });
}

const ANY_KEY: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };
