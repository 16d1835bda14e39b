import type { Outcome } from './outcome';
import type { EditState, Reading } from './state';

/** Headings of the list of commands, in its order. */
export const COMMAND_GROUPS = [
  'Going about',
  'Writing notes',
  'Length',
  'Left hand',
  'Bends',
  'Right hand',
  'What a note means',
  'Taking and putting',
  'Moving what is chosen',
  'Bars and beats',
  'Chords and key',
  'Instrument',
] as const;
export type CommandGroup = (typeof COMMAND_GROUPS)[number];

/** One of the fixed things a command can be told. */
export interface Choice<A> {
  readonly value: A;
  /** Completes the command's title: `a whole tone`. */
  readonly title: string;
  /** Other words this one is looked for by; absent: those of the command. */
  readonly words?: string;
}

/** What a command has to be told before it can run; `is` guards what comes from outside. */
export type Ask<A> =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'choice'; readonly choices: readonly Choice<A>[] }
  | {
      readonly kind: 'number';
      readonly label: string;
      readonly least: number;
      readonly most: number;
      readonly step: number;
      /** What it is counted in, where its name does not say it: `mm`. */
      readonly unit?: string;
    }
  | {
      readonly kind: 'text';
      readonly label: string;
      readonly example: string;
      /** What a text is taken for, in words; null for what is not understood. */
      readonly reads?: (text: string) => string | null;
    }
  /** Made by the program: a place pointed at, something pasted. Not in the list of commands. */
  | {
      readonly kind: 'given';
      readonly is: (value: unknown) => value is A;
      /** Some values for a state, good and bad ones, for tests that try everything. */
      readonly some: (state: EditState) => readonly A[];
    };

/**
 * A key that runs a command. `key` is a printed character as the keyboard gives it (`b`, `B`, `+`,
 * `7`) or a key's name (`ArrowUp`, `Enter`), with `Ctrl+`, `Alt+` and, where nothing is printed,
 * `Shift+` before it, in this order.
 */
export interface KeyFor<A> {
  readonly key: string;
  readonly value: A;
  /** Only while digits are read in these ways; absent: always. */
  readonly reading?: readonly Reading[];
}

/** How a command is written down; `A` is what it has to be told. */
export interface CommandSpec<A> {
  /** Unique, `group-like.what`: `bend.set`. */
  readonly id: string;
  readonly group: CommandGroup;
  /** Begins with a verb; a choice's title completes it: 'Bend' + 'a whole tone'. */
  readonly title: string;
  /** Other words somebody may look for. */
  readonly words?: string;
  readonly ask: Ask<A>;
  readonly keys?: readonly KeyFor<A>[];
  /**
   * Edits of one kind at one place that follow each other are one step of undo: a second digit in
   * a cell. Absent: every edit is a step.
   */
  readonly joins?: true;
  /** Which of its choices holds already, where that is told without running it. */
  readonly now?: (state: EditState) => A | undefined;
  /** Pure. The phrase it answers with may be invalid: `runCommand` then mends or refuses it. */
  readonly apply: (state: EditState, value: A) => Outcome;
}

/** A command of the table, told anything: what it cannot take is 'not applicable'. */
export interface Command extends Omit<CommandSpec<never>, 'ask' | 'keys' | 'now' | 'apply'> {
  readonly ask: Ask<unknown>;
  readonly now?: (state: EditState) => unknown;
  readonly keys: readonly KeyFor<unknown>[];
  readonly apply: (state: EditState, value: unknown) => Outcome;
}

/** A command of which the type of its value is known, to be run from code. */
export interface CommandOf<A> extends Command {
  readonly with: (value: A) => { readonly command: Command; readonly value: A };
}

/** Makes the command of a specification; the one place where values from outside are checked. */
export function defineCommand<A>(spec: CommandSpec<A>): CommandOf<A> {
  const { ask, apply } = spec;
  const command: Command = {
    ...spec,
    ask: ask as Ask<unknown>,
    keys: spec.keys ?? [],
    apply: (state, value) =>
      accepts(ask, value)
        ? apply(state, value)
        : { kind: 'not applicable', because: refusalOf(ask) },
  };
  return Object.assign(command, { with: (value: A) => ({ command, value }) });
}

function accepts<A>(ask: Ask<A>, value: unknown): value is A {
  switch (ask.kind) {
    case 'nothing':
      return value === undefined;
    case 'choice':
      return ask.choices.some((c) => c.value === value);
    case 'number':
      return (
        typeof value === 'number' &&
        value >= ask.least &&
        value <= ask.most &&
        Number.isInteger((value - ask.least) / ask.step)
      );
    case 'text':
      return typeof value === 'string';
    case 'given':
      return ask.is(value);
  }
}

/** `from 100 to 2000 mm`. */
export function rangeInWords(ask: {
  readonly least: number;
  readonly most: number;
  readonly unit?: string;
}): string {
  return `from ${ask.least} to ${ask.most}${ask.unit === undefined ? '' : ` ${ask.unit}`}`;
}

function refusalOf<A>(ask: Ask<A>): string {
  switch (ask.kind) {
    case 'nothing':
      return 'it takes no value';
    case 'choice':
      return `it must be one of: ${ask.choices.map((c) => c.title).join(', ')}`;
    case 'number':
      return `${ask.label} must be ${ask.step === 1 ? 'a whole number ' : ''}${rangeInWords(ask)}`;
    case 'text':
      return `${ask.label} must be typed, for example ${ask.example}`;
    case 'given':
      return 'what was given is of another kind';
  }
}
