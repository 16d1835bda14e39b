import { type ReactNode, useCallback, useMemo, useState } from 'react';
import type { Command } from '../../core/edit/command';
import { cut } from '../../core/edit/commands/taking';
import { COMMANDS, keysOf } from '../../core/edit/table';
import type { Action } from '../frame/actions';
import { useActions, useApp } from '../frame/app-context';
import { beginPhrase } from '../frame/begin-phrase';
import { nextSteps, redoWords, undoWords } from '../frame/edits';
import { keyWords, titleOfRun } from '../shared/command-words';
import { AskDialog } from './ask-dialog';
import type { Clipboard } from './clipboard';
import { frameOf } from './frame';
import { FrameDialog } from './frame-dialog';
import { keyIn } from './offer-row';
import type { Writer } from './writer';

/** A command whose value is asked for, or about; `value` is what was chosen in the list. */
interface Asked {
  readonly command: Command;
  readonly value: unknown;
}

/**
 * Puts every command of the table into the list of what can be done: its choices as rows, what is
 * to be typed asked in a field.
 * @returns the field, while something is asked.
 */
export function useWriteActions(
  writer: Writer,
  clipboard: Clipboard,
  onDone: () => void,
  onTitle: () => void,
): ReactNode {
  const app = useApp();
  const [asked, setAsked] = useState<Asked | null>(null);
  const { run, why, undo, redo, state, history } = writer;
  const { reading } = state.pen;
  const act = useCallback(
    (command: Command, value?: unknown) => {
      run(command, value);
      onDone();
    },
    [run, onDone],
  );
  const steps = useMemo((): readonly Action[] => {
    const next = nextSteps(history);
    return [
      {
        id: 'write.undo',
        title: next.undo === null ? 'Undo' : undoWords(next.undo),
        find: 'Undo',
        group: 'Going about',
        words: 'back',
        shownKey: 'Ctrl+Z',
        ...(next.undo === null ? { blocked: 'nothing to undo' } : {}),
        run: () => {
          undo();
          onDone();
        },
      },
      {
        id: 'write.redo',
        title: next.redo === null ? 'Do again' : redoWords(next.redo),
        find: 'Do again',
        group: 'Going about',
        words: 'redo forward',
        shownKey: 'Ctrl+Y',
        ...(next.redo === null ? { blocked: 'nothing was undone' } : {}),
        run: () => {
          redo();
          onDone();
        },
      },
    ];
  }, [history, undo, redo, onDone]);
  const commands = useMemo(
    (): readonly Action[] => [
      {
        id: 'write.copy',
        title: 'Copy what is chosen',
        group: 'Taking and putting',
        words: 'clipboard',
        shownKey: 'Ctrl+C',
        why: () => why(cut),
        run: clipboard.copy,
      },
      {
        id: 'write.cut',
        title: cut.title,
        group: 'Taking and putting',
        words: 'clipboard',
        shownKey: 'Ctrl+X',
        why: () => why(cut),
        run: clipboard.cut,
      },
      {
        id: 'write.paste',
        title: 'Put in what is on the clipboard',
        group: 'Taking and putting',
        words: 'paste insert',
        shownKey: 'Ctrl+V',
        run: () => void clipboard.paste('as it is'),
      },
      {
        id: 'write.paste-over',
        title: 'Put in what is on the clipboard, over the chord at the cursor',
        group: 'Taking and putting',
        words: 'paste insert move roles degrees',
        shownKey: 'Ctrl+Shift+V',
        run: () => void clipboard.paste('over the chord'),
      },
      ...COMMANDS.filter((c) => c.id !== cut.id).flatMap((command) =>
        valuesOf(command).map((value): Action => {
          const key = keyIn(keysOf(command, value), reading);
          const asks =
            command.ask.kind === 'number' ||
            command.ask.kind === 'text' ||
            frameOf(command) !== null;
          return {
            id: `write ${command.id} ${String(value)}`,
            title: titleOfRun(command, value) + (asks ? ' …' : ''),
            group: command.group,
            ...(command.words === undefined ? {} : { words: command.words }),
            ...(key === null ? {} : { shownKey: keyWords(key) }),
            ...(asks ? {} : { why: () => why(command, value) }),
            run: asks ? () => setAsked({ command, value }) : () => act(command, value),
          };
        }),
      ),
    ],
    [reading, why, act, clipboard],
  );
  const ways = useMemo(
    (): readonly Action[] => [
      {
        id: 'write.title',
        title: 'Give it a title',
        group: 'Going about',
        words: 'name rename call',
        run: onTitle,
      },
      {
        id: 'write.another',
        title: 'Write a new phrase',
        group: 'Going about',
        words: 'another next begin create empty lick',
        run: () => void beginPhrase(app),
      },
    ],
    [app, onTitle],
  );
  useActions(commands);
  useActions(steps);
  useActions(ways);
  const end = useCallback(() => {
    setAsked(null);
    onDone();
  }, [onDone]);
  if (asked === null) return null;
  const frame = frameOf(asked.command);
  if (frame === null) return <AskDialog command={asked.command} writer={writer} onEnd={end} />;
  return <FrameDialog {...frame} value={asked.value} writer={writer} onEnd={end} />;
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
