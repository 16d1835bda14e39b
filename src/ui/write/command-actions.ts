import type { Command } from '../../core/edit/command';
import { setName } from '../../core/edit/commands/kinds';
import { setWords } from '../../core/edit/commands/marks';
import { setUp } from '../../core/edit/commands/setup';
import { cut } from '../../core/edit/commands/taking';
import type { EditState } from '../../core/edit/state';
import { COMMANDS, keysOf } from '../../core/edit/table';
import type { Action } from '../frame/actions';
import { keyWords, titleOfRun } from '../shared/command-words';
import { type FrameSubject, frameOf, OTHER } from './frame';
import { keyIn } from './offer-row';

/** What a row of the list does when it is chosen. */
export interface Doing {
  readonly state: () => EditState;
  readonly why: (command: Command, value?: unknown) => string | null;
  /** Runs it at once. */
  readonly act: (command: Command, value?: unknown) => void;
  /** Asks for what it has to be told; `value` is what was named already. */
  readonly ask: (command: Command, value?: unknown) => void;
}

/** A row of the list for every command of the table and each of its choices. */
export function commandActions(
  reading: EditState['pen']['reading'],
  doing: Doing,
): readonly Action[] {
  return COMMANDS.filter((c) => c.id !== cut.id).flatMap((command) => {
    const frame = frameOf(command);
    if (frame !== null && frame.subject.title !== undefined) {
      return command.id === frame.subject.ways[0].command.id
        ? subjectRows(frame.subject, doing)
        : [];
    }
    return valuesOf(command).map((value) => rowOf(command, value, reading, doing));
  });
}

function rowOf(
  command: Command,
  value: unknown,
  reading: EditState['pen']['reading'],
  doing: Doing,
): Action {
  const { ask } = command;
  const key = keyIn(keysOf(command, ask.kind === 'text' ? '' : value), reading);
  const asks = ask.kind === 'number' || ask.kind === 'text' || frameOf(command) !== null;
  const id = `write ${command.id} ${String(value)}`;
  const row: Action = {
    id,
    title: titleOfRun(command, value) + (asks ? ' …' : ''),
    group: command.group,
    ...wordsOf(command, value),
    ...(key === null ? {} : { shownKey: keyWords(key) }),
    ...(asks ? {} : { why: () => doing.why(command, value) }),
    ...(command.now === undefined ? {} : { so: () => command.now?.(doing.state()) === value }),
    run: asks ? () => doing.ask(command, value) : () => doing.act(command, value),
  };
  if (ask.kind !== 'number' && ask.kind !== 'text') return row;
  return {
    ...row,
    told: (rest, named) => {
      const said = ask.kind === 'number' ? Number(rest.replace(',', '.')) : rest;
      const meant = named ? !TAKES_ANYTHING.has(command.id) : unnamed(command, rest);
      if (!meant || doing.why(command, said) !== null) return null;
      const { told, ...plain } = row;
      return {
        ...plain,
        id: `${id} told`,
        title: `${command.title}: ${rest} …`,
        run: () => doing.ask(command, rest),
      };
    },
  };
}

/** What takes any text would be told by every second search. */
const TAKES_ANYTHING: ReadonlySet<string> = new Set([setUp.id, setName.id, setWords.id]);

/** Whether a line means a command without naming it: one that says two things of a setup at least. */
function unnamed(command: Command, line: string): boolean {
  return command.id === setUp.id && /\S[\s,]+\S/u.test(line) && /\d/u.test(line);
}

/** Something that can be had in several ways: a row for each choice, the way is asked about. */
function subjectRows(subject: FrameSubject, doing: Doing): readonly Action[] {
  const { command, typed } = subject.ways[0];
  const row = (value: unknown, title: string): Action => ({
    id: `write ${command.id} ${String(value)}`,
    title: `${subject.title} ${title}…`.replace(/(?<! )…$/u, ' …'),
    group: command.group,
    ...wordsOf(command, value),
    ...(command.now === undefined ? {} : { so: () => command.now?.(doing.state()) === value }),
    run: () => doing.ask(command, value),
  });
  const { ask } = command;
  if (ask.kind === 'choice') {
    const rows = ask.choices.map((c) => row(c.value, c.title));
    return typed === undefined ? rows : [...rows, row(OTHER, 'other strings, typed')];
  }
  const plain = row(undefined, '');
  return [
    {
      ...plain,
      told: (rest, named) =>
        named && doing.why(command, Number(rest)) === null
          ? { ...plain, title: `${subject.title}: ${rest} …`, run: () => doing.ask(command, rest) }
          : null,
    },
  ];
}

function wordsOf(command: Command, value: unknown): Pick<Action, 'words'> {
  const { ask } = command;
  const choice = ask.kind === 'choice' ? ask.choices.find((c) => c.value === value) : undefined;
  const words = choice?.words ?? command.words;
  return words === undefined ? {} : { words };
}

/** The rows of a command in the list. What only the program can make has none. */
function valuesOf({ ask }: Command): readonly unknown[] {
  switch (ask.kind) {
    case 'choice':
      return ask.choices.map((c) => c.value);
    case 'given':
      return [];
    case 'nothing':
    case 'number':
    case 'text':
      return [undefined];
  }
}
