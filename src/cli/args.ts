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
import { readQuery } from '../core/search/query/read';
import type { Search } from '../core/search/query/types';
import type { Key } from '../core/theory/key';
import type { ReadChoice } from '../io/file/decode-file';
import { CATCH, type CatchCommand, readCatch } from './catch-flags';
import { readChoice, readWhole } from './flag-values';
import { type Flag, type Flags, readFlags } from './flags';
import { NECK, type NeckOptions, readNeckOptions } from './neck-flags';
import { ENDINGS, OUTPUT, type OutputOptions, readOutput } from './output-flags';
import { READ, READ_FOR_MOVE, readReadChoice } from './read-flags';
import { readShapesOptions, SHAPES, type ShapesOptions } from './shape-flags';
import { readSolo, SOLO, type SoloCommand } from './solo-flags';
import { readVary, VARY, type VaryCommand } from './vary-flags';

export const COMMAND_NAMES = [
  'check',
  'show',
  'convert',
  'move',
  'vary',
  'positions',
  'neck',
  'shapes',
  'find',
  'stats',
  'merge',
  'forms',
  'solo',
  'lesson',
  'catch',
] as const;
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

/** What is looked for in files and folders. */
export interface FindOptions {
  readonly search: Search;
  /** A file with the phrase that the answers are to be like, the likest first. */
  readonly like?: string;
  /** A lane that they can be moved to. */
  readonly fits?: string;
  /** Most answers that are told. */
  readonly count: number;
  readonly json: boolean;
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
  | ({ readonly name: 'vary' } & VaryCommand)
  | { readonly name: 'forms'; readonly json: boolean }
  | ({ readonly name: 'solo' } & SoloCommand)
  | ({ readonly name: 'catch' } & CatchCommand)
  | {
      readonly name: 'lesson';
      readonly files: readonly string[];
      /** Null: the title of the first phrase. */
      readonly title: string | null;
      readonly out: string;
      readonly force: boolean;
    }
  | {
      readonly name: 'positions';
      readonly files: readonly string[];
      readonly count: number;
      readonly parts: boolean;
      readonly keepFirst: boolean;
      readonly json: boolean;
    }
  | { readonly name: 'shapes'; readonly shapes: ShapesOptions }
  | { readonly name: 'neck'; readonly files: readonly string[]; readonly neck: NeckOptions }
  | { readonly name: 'find'; readonly files: readonly string[]; readonly find: FindOptions }
  | { readonly name: 'stats'; readonly files: readonly string[]; readonly json: boolean }
  | {
      readonly name: 'merge';
      readonly files: readonly string[];
      readonly out: string;
      readonly force: boolean;
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
  vary: [HELP, ...VARY, ...READ, ...OUTPUT],
  forms: [HELP, { name: 'json', takes: 'nothing' }],
  solo: [HELP, ...SOLO, ...READ, ...OUTPUT],
  lesson: [
    HELP,
    ...READ,
    { name: 'title', takes: 'value' },
    { name: 'out', short: 'o', takes: 'value' },
    { name: 'force', takes: 'nothing' },
  ],
  catch: [HELP, ...CATCH, ...OUTPUT],
  positions: [
    HELP,
    ...READ,
    { name: 'count', takes: 'value' },
    { name: 'parts', takes: 'nothing' },
    { name: 'keep-first', takes: 'nothing' },
    { name: 'json', takes: 'nothing' },
  ],
  neck: [HELP, ...READ, ...NECK],
  shapes: [HELP, ...SHAPES],
  find: [
    HELP,
    ...READ,
    ...['like', 'fits', 'count'].map((name): Flag => ({ name, takes: 'value' })),
    { name: 'json', takes: 'nothing' },
  ],
  stats: [HELP, ...READ, { name: 'json', takes: 'nothing' }],
  merge: [
    HELP,
    ...READ,
    { name: 'out', short: 'o', takes: 'value' },
    { name: 'force', takes: 'nothing' },
  ],
};

/** Most positions on the neck that are looked for. */
const MOST_POSITIONS = 50;

/** So many answers are told where no number is given, and so many at most. */
const USUAL_ANSWERS = 20;
const MOST_ANSWERS = 1_000_000;

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
  if (name === 'vary' && flags.value.values.has('list')) {
    const json = flags.value.values.has('json');
    return ok({ name: 'vary', kind: 'list', json });
  }
  // Shapes are those of chords, which are in no file.
  if (name === 'shapes') {
    const shapes = readShapesOptions(flags.value);
    return shapes.ok ? ok({ name, shapes: shapes.value }) : shapes;
  }
  if (name === 'forms') return ok({ name, json: flags.value.values.has('json') });
  if (name === 'solo') {
    const solo = readSolo(flags.value.positionals, flags.value);
    return solo.ok ? ok({ name, ...solo.value }) : solo;
  }
  if (name === 'catch') {
    const caught = readCatch(flags.value.positionals, flags.value);
    return caught.ok ? ok({ name, ...caught.value }) : caught;
  }
  const asks = name === 'find';
  const files = flags.value.positionals.slice(asks ? 1 : 0);
  if (asks && flags.value.positionals.length === 0) {
    return fail({
      message: 'what to look for is missing',
      fix: "Write it in quotes, for example '5 6 b7 over IV', then the files.",
    });
  }
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

function readNamed(
  name: Exclude<CommandName, 'shapes' | 'forms' | 'solo' | 'catch'>,
  files: readonly string[],
  flags: Flags,
): Result<Command> {
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
    case 'vary': {
      const vary = readVary(files, flags);
      return vary.ok ? ok({ name, ...vary.value }) : vary;
    }
    case 'positions': {
      const count = readWhole(flags, 'count', 1, MOST_POSITIONS);
      if (!count.ok) return count;
      const parts = flags.values.has('parts');
      const keepFirst = flags.values.has('keep-first');
      if (parts && keepFirst) {
        return fail({
          message: '--parts and --keep-first do not go together',
          fix: 'Leave one of them out.',
        });
      }
      const json = flags.values.has('json');
      return ok({ name, files, count: count.value ?? 3, parts, keepFirst, json });
    }
    case 'neck': {
      const neck = readNeckOptions(flags);
      return neck.ok ? ok({ name, files, neck: neck.value }) : neck;
    }
    case 'find': {
      const find = readFind(flags);
      return find.ok ? ok({ name, files, find: find.value }) : find;
    }
    case 'stats':
      return ok({ name, files, json: flags.values.has('json') });
    case 'lesson': {
      const out = flags.values.get('out') ?? '';
      const title = flags.values.get('title') ?? null;
      if (/\.(?:html|json)$/iu.test(out)) {
        return ok({ name, files, title, out, force: flags.values.has('force') });
      }
      return fail({
        message: out === '' ? 'where to write is missing' : `'${out}' is no name of a lesson`,
        fix: 'Add -o and a name that ends in .html, or in .json to go on with it in the app.',
      });
    }
    case 'merge': {
      const out = flags.values.get('out') ?? '';
      if (/\.json$/iu.test(out)) {
        return ok({ name, files, out, force: flags.values.has('force') });
      }
      return fail({
        message: out === '' ? 'where to write is missing' : `'${out}' is no name of a library`,
        fix: 'Add -o and a name that ends in .json.',
      });
    }
  }
}

function readFind(flags: Flags): Result<FindOptions> {
  const text = flags.positionals[0] ?? '';
  const search = readQuery(text);
  if (!search.ok) {
    return fail(
      ...search.problems.map((p) => ({
        ...p,
        message: `in '${text}' at character ${p.column ?? 1}: ${p.message}`,
      })),
    );
  }
  const count = readWhole(flags, 'count', 1, MOST_ANSWERS);
  if (!count.ok) return count;
  const json = flags.values.has('json');
  const like = flags.values.get('like');
  const fits = flags.values.get('fits');
  return ok({
    search: search.value,
    count: count.value ?? USUAL_ANSWERS,
    json,
    ...(like === undefined ? {} : { like }),
    ...(fits === undefined ? {} : { fits }),
  });
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
