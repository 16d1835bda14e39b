import { fail, ok, type Result } from '../core/result';
import type { ReadChoice } from '../io/file/decode-file';
import { CARRY, type CarryOptions, readCarry } from './carry-flags';
import { CATCH, type CatchCommand, readCatch } from './catch-flags';
import type { CutOptions } from './commands/cut';
import type { MergeTo } from './commands/merge';
import { CUT, readCut } from './cut-flags';
import { type FindOptions, readFind } from './find-flags';
import { FITS } from './fits-flags';
import { readWhole } from './flag-values';
import { type Flag, type Flags, readFlags } from './flags';
import { readFormFiles } from './form-flags';
import { LESSON, type LessonCommand, readLesson } from './lesson-flags';
import { MOVE, type MoveOptions, readMove } from './move-flags';
import { NECK, type NeckOptions, readNeckOptions } from './neck-flags';
import { ENDINGS, OUTPUT, type OutputOptions, readOutput } from './output-flags';
import { readMergeTo } from './output-name';
import { PLAN, type PlanOptions, readPlanOptions } from './plan-flags';
import { READ, READ_FOR_MOVE, readReadChoice } from './read-flags';
import { readShapesOptions, SHAPES, type ShapesOptions } from './shape-flags';
import { readSolo, SOLO, type SoloCommand } from './solo-flags';
import { readVary, VARY, type VaryCommand } from './vary-flags';
import { perhaps } from './words';

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
  'carry',
  'cut',
  'forms',
  'solo',
  'lesson',
  'plan',
  'catch',
] as const;
export type CommandName = (typeof COMMAND_NAMES)[number];

/** A command line that makes sense. */
export type Command = { readonly read?: ReadChoice } & (
  | { readonly name: 'help'; readonly topic: CommandName | 'quick' | null }
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
  | { readonly name: 'forms'; readonly files: readonly string[]; readonly json: boolean }
  | ({ readonly name: 'solo' } & SoloCommand)
  | ({ readonly name: 'catch' } & CatchCommand)
  | { readonly name: 'plan'; readonly files: readonly string[]; readonly plan: PlanOptions }
  | ({ readonly name: 'lesson' } & LessonCommand)
  | {
      readonly name: 'positions';
      readonly files: readonly string[];
      readonly count: number;
      readonly parts: boolean;
      readonly keepFirst: boolean;
      /** What is hard, and easier ways, instead of places. */
      readonly easier: boolean;
      readonly json: boolean;
    }
  | { readonly name: 'shapes'; readonly shapes: ShapesOptions }
  | { readonly name: 'neck'; readonly files: readonly string[]; readonly neck: NeckOptions }
  | { readonly name: 'find'; readonly files: readonly string[]; readonly find: FindOptions }
  | { readonly name: 'stats'; readonly files: readonly string[]; readonly json: boolean }
  | { readonly name: 'carry'; readonly carry: CarryOptions }
  | { readonly name: 'cut'; readonly files: readonly string[]; readonly cut: CutOptions }
  | {
      readonly name: 'merge';
      readonly files: readonly string[];
      readonly to: MergeTo;
    }
);

const HELP: Flag = { name: 'help', short: 'h', takes: 'nothing' };
const FLAGS: Readonly<Record<CommandName, readonly Flag[]>> = {
  check: [HELP, ...READ],
  show: [HELP, ...READ, { name: 'json', takes: 'nothing' }],
  convert: [HELP, ...READ, ...OUTPUT],
  move: [HELP, ...MOVE, ...READ_FOR_MOVE, ...OUTPUT],
  vary: [HELP, ...VARY, ...READ, ...OUTPUT],
  forms: [HELP, { name: 'json', takes: 'nothing' }],
  solo: [HELP, ...SOLO, ...READ, ...OUTPUT],
  lesson: [HELP, ...READ, ...LESSON],
  plan: [HELP, ...READ, ...PLAN],
  catch: [HELP, ...CATCH, ...OUTPUT],
  positions: [
    HELP,
    ...READ,
    { name: 'count', takes: 'value' },
    { name: 'parts', takes: 'nothing' },
    { name: 'keep-first', takes: 'nothing' },
    { name: 'easier', takes: 'nothing' },
    { name: 'json', takes: 'nothing' },
  ],
  neck: [HELP, ...READ, ...NECK],
  shapes: [HELP, ...SHAPES],
  find: [
    HELP,
    ...READ,
    ...FITS,
    ...['like', 'count'].map((name): Flag => ({ name, takes: 'value' })),
    { name: 'json', takes: 'nothing' },
  ],
  stats: [HELP, ...READ, { name: 'json', takes: 'nothing' }],
  carry: [HELP, ...CARRY],
  cut: [HELP, ...READ, ...CUT],
  merge: [
    HELP,
    ...READ,
    { name: 'out', short: 'o', takes: 'value' },
    { name: 'force', takes: 'nothing' },
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
      fix: `${perhaps(first, COMMAND_NAMES)}The commands are ${COMMAND_NAMES.join(', ')}.`,
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
  if (name === 'forms') {
    const files = readFormFiles(flags.value.positionals);
    if (!files.ok) return files;
    return ok({ name, files: files.value, json: flags.value.values.has('json') });
  }
  if (name === 'solo') {
    const solo = readSolo(flags.value.positionals, flags.value);
    if (!solo.ok) return solo;
    const read = readReadChoice(flags.value, 'octave');
    return read.ok ? ok({ name, ...solo.value, read: read.value }) : read;
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
  const [asked] = flags.value.positionals;
  if (asks && files.length === 0 && asked !== '') {
    return fail({
      message: `'${asked}' is read as what to look for, and no file is named behind it`,
      fix: "Name at least one file, or - for the standard input; write '' before the files to ask for nothing more than --like or --fits do.",
    });
  }
  if (files.length === 0) {
    return fail({
      message: 'no file is named',
      fix: 'Name at least one file, or - for the standard input.',
    });
  }
  if (files.includes('')) {
    return fail({
      message: 'one of the files is named by nothing',
      fix: "Name each file; '' is left where a variable of the shell is empty.",
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

/** Where more is said of what was typed: the page of its command, else that of all commands. */
export function whereHelpIs(first: string | undefined): string {
  const name = COMMAND_NAMES.find((n) => n === first);
  return name === undefined
    ? "Type 'degreewise help' for what can be done."
    : `Type 'degreewise help ${name}' for what can be said.`;
}

function readHelp(rest: readonly string[]): Result<Command> {
  const [topic] = rest;
  if (topic === undefined) return ok({ name: 'help', topic: null });
  const name = topic === 'quick' ? topic : COMMAND_NAMES.find((n) => n === topic);
  if (name !== undefined) return ok({ name: 'help', topic: name });
  return fail({
    message: `there is no command '${topic}'`,
    fix: `${perhaps(topic, COMMAND_NAMES)}The commands are ${COMMAND_NAMES.join(', ')}; help quick tells how quick text is written.`,
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
    case 'positions':
      return readPositions(files, flags);
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
      const lesson = readLesson(files, flags);
      return lesson.ok ? ok({ name, ...lesson.value }) : lesson;
    }
    case 'plan': {
      const plan = readPlanOptions(flags);
      return plan.ok ? ok({ name, files, plan: plan.value }) : plan;
    }
    case 'carry': {
      const carry = readCarry(files, flags);
      return carry.ok ? ok({ name, carry: carry.value }) : carry;
    }
    case 'cut': {
      const cut = readCut(flags);
      return cut.ok ? ok({ name, files, cut: cut.value }) : cut;
    }
    case 'merge': {
      const to = readMergeTo(flags);
      return to.ok ? ok({ name, files, to: to.value }) : to;
    }
  }
}

function readPositions(files: readonly string[], flags: Flags): Result<Command> {
  const count = readWhole(flags, 'count', 1, MOST_POSITIONS);
  if (!count.ok) return count;
  const parts = flags.values.has('parts');
  const keepFirst = flags.values.has('keep-first');
  const easier = flags.values.has('easier');
  const ways = ['parts', 'keep-first', 'easier'].filter((f) => flags.values.has(f));
  if (ways.length > 1) {
    return fail({
      message: `--${ways[0]} and --${ways[1]} do not go together`,
      fix: 'Leave one of them out.',
    });
  }
  const json = flags.values.has('json');
  return ok({ name: 'positions', files, count: count.value ?? 3, parts, keepFirst, easier, json });
}
