import { type ReactNode, useCallback, useMemo, useRef, useState } from 'react';
import type { Command } from '../../core/edit/command';
import { setUp } from '../../core/edit/commands/setup';
import { cut } from '../../core/edit/commands/taking';
import type { Action } from '../frame/actions';
import { useActions, useApp } from '../frame/app-context';
import { beginPhrase } from '../frame/begin-phrase';
import type { Writer } from '../frame/writing/writer';
import { AskDialog } from './ask-dialog';
import type { Clipboard } from './clipboard';
import { commandActions } from './command-actions';
import { frameOf } from './frame';
import { FrameDialog } from './frame-dialog';
import { clipboardActions, pageActions, stepActions } from './page-actions';
import { SetupDialog } from './setup-dialog';
import type { PageDoings } from './use-doings';

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
  doings: PageDoings,
): { readonly ask: (command: Command, value?: unknown) => void; readonly dialog: ReactNode } {
  const app = useApp();
  const [asked, setAsked] = useState<Asked | null>(null);
  const { run, why, undo, redo, state, history } = writer;
  const { reading } = state.pen;
  const latest = useRef(state);
  latest.current = state;
  const ask = useCallback((command: Command, value?: unknown) => setAsked({ command, value }), []);
  const commands = useMemo((): readonly Action[] => {
    const act = (command: Command, value?: unknown) => {
      run(command, value);
      onDone();
    };
    const doing = { state: () => latest.current, why, act, ask };
    return [...clipboardActions(clipboard, () => why(cut)), ...commandActions(reading, doing)];
  }, [reading, run, why, ask, onDone, clipboard]);
  const steps = useMemo(() => {
    const then = (go: () => void) => () => {
      go();
      onDone();
    };
    return stepActions(history, then(undo), then(redo));
  }, [history, undo, redo, onDone]);
  const page = useMemo(() => pageActions(doings, () => void beginPhrase(app)), [app, doings]);
  useActions(commands);
  useActions(steps);
  useActions(page);
  const end = useCallback(() => {
    setAsked(null);
    onDone();
  }, [onDone]);
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
