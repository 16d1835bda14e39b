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
import type { ReadChoice } from '../io/file/decode-file';
import { readChoice, readWhole } from './flag-values';
import { type Flag, type Flags, readFlags } from './flags';
import { ENDINGS, OUTPUT, type OutputOptions, readOutput } from './output-flags';
import { READ, READ_FOR_MOVE, readReadChoice } from './read-flags';

export const COMMAND_NAMES = ['check', 'show', 'convert', 'move', 'positions'] as const;
export type CommandName = (typeof COMMAND_NAMES)[number];

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

/** A command line that makes sense. */
export type Command = { readonly read?: ReadChoice } & (
  | { readonly name: 'help'; readonly topic: CommandName | null }
  | { readonly name: 'version' }
  | { readonly name: 'check'; readonly files: readonly string[] }
  | { readonly name: 'show'; readonly files: readonly string[]; readonly json: boolean }
  | { readonly name: 'convert'; readonly files: readonly string[]; readonly output: OutputOptions }
  | {
      readonly name: 'move';
      readonly files: readonly string[];
      readonly move: MoveOptions;
      readonly output: OutputOptions | null;
    }
  | {
      readonly name: 'positions';
      readonly files: readonly string[];
      readonly count: number;
      readonly parts: boolean;
      readonly json: boolean;
    }
);

const HELP: Flag = { name: 'help', short: 'h', takes: 'nothing' };
const FLAGS: Readonly<Record<CommandName, readonly Flag[]>> = {
  check: [HELP, ...READ],
  show: [HELP, ...READ, { name: 'json', takes: 'nothing' }],
  convert: [HELP, ...READ, ...OUTPUT],
  move: [
    HELP,
    ...[...GOAL_KINDS, 'way', 'octave', 'hand', 'without'].map(
      (name): Flag => ({ name, takes: 'value' }),
    ),
    { name: 'adapt', takes: 'nothing' },
    ...READ_FOR_MOVE,
    ...OUTPUT,
  ],
  positions: [
    HELP,
    ...READ,
    { name: 'count', takes: 'value' },
    { name: 'parts', takes: 'nothing' },
    { name: 'json', takes: 'nothing' },
  ],
};

/** Most positions on the neck that are looked for. */
const MOST_POSITIONS = 50;

/**
 * Reads a command line.
 * @param args The words behind the program's name.
 * @returns what is to be done, or what is wrong with the words (exit code 2).
 */
export function readCommand(args: readonly string[]): Result<Command> {
  const [first, ...rest] = args;
  if (first === undefined) {
    return fail({ message: 'no command is given', fix: `Use one of ${COMMAND_NAMES.join(', ')}.` });
  }
  if (first === '--version' || first === '-v') return ok({ name: 'version' });
  if (first === '--help' || first === '-h') return ok({ name: 'help', topic: null });
  if (first === 'help') return readHelp(rest);
  const name = COMMAND_NAMES.find((n) => n === first);
  if (name === undefined) {
    return fail({
      message: first.startsWith('-')
        ? `there is no option ${first} here`
        : `there is no command '${first}'`,
      fix: `The commands are ${COMMAND_NAMES.join(', ')}.`,
    });
  }
  const flags = readFlags(rest, FLAGS[name]);
  if (!flags.ok) return flags;
  if (flags.value.values.has('help')) return ok({ name: 'help', topic: name });
  const files = flags.value.positionals;
  if (files.length === 0) {
    return fail({
      message: 'no file is named',
      fix: 'Name at least one file, or - for the standard input.',
    });
  }
  if (files.filter((f) => f === '-').length > 1) {
    return fail({ message: 'the standard input can be read only once' });
  }
  const read = readReadChoice(flags.value, name === 'move' ? 'read-octave' : 'octave');
  if (!read.ok) return read;
  const command = readNamed(name, files, flags.value);
  if (!command.ok || Object.keys(read.value).length === 0) return command;
  return ok({ ...command.value, read: read.value });
}

function readHelp(rest: readonly string[]): Result<Command> {
  const [topic] = rest;
  if (topic === undefined) return ok({ name: 'help', topic: null });
  const name = COMMAND_NAMES.find((n) => n === topic);
  if (name !== undefined) return ok({ name: 'help', topic: name });
  return fail({
    message: `there is no command '${topic}'`,
    fix: `The commands are ${COMMAND_NAMES.join(', ')}.`,
  });
}

function readNamed(name: CommandName, files: readonly string[], flags: Flags): Result<Command> {
  switch (name) {
    case 'check':
      return ok({ name, files });
    case 'show':
      return ok({ name, files, json: flags.values.has('json') });
    case 'convert': {
      const output = readOutput(flags);
      if (!output.ok) return output;
      if (output.value === null) {
        return fail({
          message: 'where to write is missing',
          fix: `Add -o and a name; its ending decides the format: ${ENDINGS}.`,
        });
      }
      return ok({ name, files, output: output.value });
    }
    case 'move': {
      const move = readMove(flags);
      if (!move.ok) return move;
      const output = readOutput(flags);
      return output.ok ? ok({ name, files, move: move.value, output: output.value }) : output;
    }
    case 'positions': {
      const count = readWhole(flags, 'count', 1, MOST_POSITIONS);
      if (!count.ok) return count;
      const parts = flags.values.has('parts');
      return ok({ name, files, count: count.value ?? 3, parts, json: flags.values.has('json') });
    }
  }
}

function readMove(flags: Flags): Result<MoveOptions> {
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
        fix: 'Add --key, --chord, --lane, --steps, --octaves or --beat.',
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
