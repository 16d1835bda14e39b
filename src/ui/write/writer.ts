import { useMemo, useSyncExternalStore } from 'react';
import type { Command } from '../../core/edit/command';
import type { Outcome } from '../../core/edit/outcome';
import { runCommand, whyNot } from '../../core/edit/run';
import { type EditState, startEditing } from '../../core/edit/state';
import type { Phrase } from '../../core/phrase/types';
import { type App, useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { type ChangeNote, type Edits, editsOf, useHistory } from '../frame/edits';
import type { Told, Writer } from '../frame/writing/writer';
import { titleOfRun } from '../shared/command-words';

/** Where somebody is in a phrase, as long as the window lives. Each change is saved as it is made. */
class Session {
  private state: EditState;
  told: Told = { text: '', refused: false };
  private readonly listeners = new Set<() => void>();

  constructor(
    private readonly edits: Edits,
    phrase: Phrase,
  ) {
    this.state = startEditing(phrase);
  }

  subscribe = (changed: () => void): (() => void) => {
    this.listeners.add(changed);
    const end = this.edits.subscribe(changed);
    return () => {
      this.listeners.delete(changed);
      end();
    };
  };

  /** The state with the phrase as it stands, whoever has changed it. */
  now = (): EditState => {
    const phrase = this.edits.phrase(this.state.phrase.id);
    if (phrase !== null && phrase !== this.state.phrase) this.state = within(this.state, phrase);
    return this.state;
  };

  run = (command: Command, value?: unknown): Outcome =>
    this.take((s) => runCommand(s, command, value), {
      command: command.id,
      label: titleOfRun(command, value),
      joins: command.joins === true,
    });

  take = (make: (state: EditState) => Outcome, note: ChangeNote): Outcome => {
    const before = this.now();
    const outcome = make(before);
    if (outcome.kind === 'not applicable') {
      this.tell({ text: `Not done: ${outcome.because}.`, refused: true });
      return outcome;
    }
    const phrase =
      outcome.state.phrase === before.phrase
        ? before.phrase
        : this.edits.change(before, outcome.state, note);
    this.state = { ...outcome.state, phrase };
    this.tell({ text: outcome.say, refused: false });
    return { ...outcome, state: this.state };
  };

  why = (command: Command, value?: unknown): string | null => whyNot(this.now(), command, value);

  undo = (): void => this.travel('undo');
  redo = (): void => this.travel('redo');

  private travel(way: 'undo' | 'redo'): void {
    const before = this.now();
    const travelled = this.edits[way](before.phrase.id);
    if (travelled === null) {
      const coming = this.edits.coming(before.phrase.id);
      if (coming !== null) {
        // Whether there is something is not known yet.
        void coming.then(() => {
          if (this.now().phrase === before.phrase) this.travel(way);
        });
        return;
      }
      const text = way === 'undo' ? 'There is nothing to undo.' : 'Nothing was undone.';
      this.tell({ text, refused: true });
      return;
    }
    const { step, phrase } = travelled;
    // What is said about a phrase has no place in its music.
    const selection = step.command.startsWith('phrase.') ? before.selection : travelled.selection;
    this.state = within({ ...before, selection }, phrase);
    this.tell({
      text: `${way === 'undo' ? 'Taken back' : 'Done again'}: ${step.label}`,
      refused: false,
    });
  }

  private tell(told: Told): void {
    this.told = told;
    for (const changed of [...this.listeners]) changed();
  }
}

/** The state with another phrase, the selection inside it. */
function within(s: EditState, phrase: Phrase): EditState {
  const { selection } = s;
  const inside = (c: EditState['selection']['cursor']) => ({
    onset: Math.min(c.onset, phrase.length),
    string: Math.min(c.string, phrase.instrument.tuning.length),
  });
  return {
    ...s,
    phrase,
    selection: {
      ...selection,
      voice: phrase.voices.length > 1 ? selection.voice : 0,
      cursor: inside(selection.cursor),
      corner: selection.corner === null ? null : inside(selection.corner),
    },
  };
}

const SESSIONS = new WeakMap<App, Map<string, Session>>();

function sessionOf(app: App, phrase: Phrase): Session {
  const all = SESSIONS.get(app) ?? new Map<string, Session>();
  SESSIONS.set(app, all);
  const known = all.get(phrase.id);
  if (known !== undefined) return known;
  const made = new Session(editsOf(app), phrase);
  all.set(phrase.id, made);
  return made;
}

/** Writing in a phrase; one writer for all parts of the page. */
export function useWriter(draft: Draft): Writer {
  const app = useApp();
  const session = sessionOf(app, draft.phrase);
  const state = useSyncExternalStore(session.subscribe, session.now);
  const told = useSyncExternalStore(session.subscribe, () => session.told);
  const history = useHistory(draft.phrase.id);
  return useMemo(() => {
    const { run, take, why, undo, redo } = session;
    return { state, history, told, run, take, why, undo, redo };
  }, [session, state, history, told]);
}
