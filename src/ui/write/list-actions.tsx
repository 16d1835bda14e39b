import { type ReactNode, useCallback, useMemo, useRef, useState } from 'react';
import type { Command } from '../../core/edit/command';
import { setUp } from '../../core/edit/commands/setup';
import { cut } from '../../core/edit/commands/taking';
import type { Action } from '../frame/actions';
import { useActions, useApp } from '../frame/app-context';
import { beginPhrase } from '../frame/begin-phrase';
import { nextSteps, redoWords, undoWords } from '../frame/edits';
import { AskDialog } from './ask-dialog';
import type { Clipboard } from './clipboard';
import { commandActions } from './command-actions';
import { frameOf } from './frame';
import { FrameDialog } from './frame-dialog';
import { SetupDialog } from './setup-dialog';
import type { PageDoings } from './use-doings';
import type { Writer } from './writer';

/** A command whose value is asked for, or about; `value` is what was chosen in the list. */
interface Asked {
  readonly command: Command;
  readonly value: unknown;
}

/**
 * Puts every command of the table into the list of what can be done: its choices as rows, what is
 * to be typed asked in a field.
 * @returns the dialog, while something is asked, and a way to ask.
 */
export function useWriteActions(
  writer: Writer,
  clipboard: Clipboard,
  onDone: () => void,
  { onTitle, toPrint, onExport, onCopy }: PageDoings,
): { readonly ask: (command: Command, value?: unknown) => void; readonly dialog: ReactNode } {
  const app = useApp();
  const [asked, setAsked] = useState<Asked | null>(null);
  const { run, why, undo, redo, state, history } = writer;
  const { reading } = state.pen;
  const latest = useRef(state);
  latest.current = state;
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
      ...commandActions(reading, {
        state: () => latest.current,
        why,
        act,
        ask: (command, value) => setAsked({ command, value }),
      }),
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
        id: 'write.print',
        title: 'Print it or make a PDF',
        group: 'Going about',
        words: 'paper',
        run: toPrint,
      },
      {
        id: 'write.export',
        title: 'Export it as a file',
        group: 'Going about',
        words: 'musicxml mxl svg png text json download save picture',
        run: onExport,
      },
      {
        id: 'write.copy-phrase',
        title: 'Write on in a copy of this phrase',
        group: 'Going about',
        words: 'duplicate again version keep',
        run: onCopy,
      },
      {
        id: 'write.another',
        title: 'Write a new phrase',
        group: 'Going about',
        words: 'another next begin create empty lick',
        run: () => void beginPhrase(app),
      },
    ],
    [app, onTitle, toPrint, onExport, onCopy],
  );
  useActions(commands);
  useActions(steps);
  useActions(ways);
  const end = useCallback(() => {
    setAsked(null);
    onDone();
  }, [onDone]);
  const ask = useCallback((command: Command, value?: unknown) => setAsked({ command, value }), []);
  return { ask, dialog: asked === null ? null : dialogFor(asked, writer, end) };
}

/** The dialog that asks for what a command has to be told. */
function dialogFor(asked: Asked, writer: Writer, end: () => void): ReactNode {
  if (asked.command.id === setUp.id) return <SetupDialog {...asked} writer={writer} onEnd={end} />;
  const frame = frameOf(asked.command);
  if (frame === null) return <AskDialog {...asked} writer={writer} onEnd={end} />;
  const { subject, way } = frame;
  // Where the list did not say which way, the one that fits is offered.
  const named = subject.title === undefined ? { way } : {};
  return (
    <FrameDialog subject={subject} {...named} value={asked.value} writer={writer} onEnd={end} />
  );
}
