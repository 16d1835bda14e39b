import { useDeferredValue, useId, useLayoutEffect, useMemo, useState } from 'react';
import type { Ask, Command } from '../../core/edit/command';
import { type Consequences, consequencesOf } from '../../core/edit/consequences';
import { runCommand } from '../../core/edit/run';
import type { EditState } from '../../core/edit/state';
import type { Phrase } from '../../core/phrase/types';
import { ScoreView, SMALL } from '../score/score-view';
import { useModal } from '../shared/use-modal';
import { capital } from '../shared/words';
import { consequenceWords } from './consequence-words';
import type { FrameSubject } from './frame';
import type { Writer } from './writer';

interface FrameDialogProps {
  readonly subject: FrameSubject;
  /** The way and the value that are asked about first. */
  readonly way: number;
  readonly value?: unknown;
  readonly writer: Writer;
  readonly onEnd: () => void;
}

/** Changes what holds for many notes at once: what follows is shown before it is done. */
export function FrameDialog({ subject, way, value, writer, onEnd }: FrameDialogProps) {
  const { end, props } = useModal(onEnd);
  const id = useId();
  const { state } = writer;
  const [chosen, setChosen] = useState(way);
  const [typed, setTyped] = useState(() => (value === undefined ? '' : String(value)));
  useLayoutEffect(() => document.getElementById(`${id}-field`)?.focus(), [id]);
  const { command } = subject.ways[chosen] ?? subject.ways[0];
  const told = valueIn(command.ask, typed);
  const asked = useDeferredValue(told);
  const shown = useMemo(() => whatFollows(state, command, asked), [state, command, asked]);
  const refused = shown !== null && 'because' in shown ? shown.because : null;
  return (
    <dialog {...props} className="ask frame-dialog" aria-labelledby={`${id}-title`}>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          if (told !== undefined && writer.run(command, told).kind === 'done') end();
        }}
      >
        <h2 id={`${id}-title`}>{subject.name}</h2>
        <p className="quiet">Now: {subject.now(state)}</p>
        {subject.ways.length === 1 ? null : (
          <fieldset>
            <legend>How</legend>
            {subject.ways.map((w, i) => (
              <label key={w.label}>
                <input
                  type="radio"
                  name={`${id}-way`}
                  checked={i === chosen}
                  onChange={() => {
                    setChosen(i);
                    // A choice of one way may be none of the other.
                    if (w.command.ask.kind !== command.ask.kind) setTyped('');
                  }}
                />{' '}
                {capital(w.label)}
              </label>
            ))}
          </fieldset>
        )}
        <label htmlFor={`${id}-field`}>{command.title}</label>
        <Field
          id={`${id}-field`}
          ask={command.ask}
          typed={typed}
          hintId={`${id}-hint`}
          wrong={refused !== null}
          onType={setTyped}
        />
        <p id={`${id}-hint`} role="status" className={refused === null ? 'quiet' : 'refused'}>
          {refused === null ? hintFor(command.ask) : `Not so: ${refused}.`}
        </p>
        {shown === null || 'because' in shown ? null : (
          <section aria-labelledby={`${id}-follows`}>
            <h3 id={`${id}-follows`}>What follows</h3>
            <ul aria-live="polite">
              {consequenceWords(shown.consequences).map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
            <div className="frame-after">
              <ScoreView
                phrase={shown.phrase}
                label="Notes after the change"
                changed={shown.consequences.changed}
                size={SMALL}
              />
            </div>
          </section>
        )}
        <p className="buttons">
          <button
            type="submit"
            className="primary"
            aria-disabled={told === undefined || refused !== null}
          >
            Change it
          </button>
          <button type="button" onClick={end}>
            Leave it
          </button>
        </p>
      </form>
    </dialog>
  );
}

interface FieldProps {
  readonly id: string;
  readonly ask: Ask<unknown>;
  readonly typed: string;
  readonly hintId: string;
  readonly wrong: boolean;
  readonly onType: (text: string) => void;
}

function Field({ id, ask, typed, hintId, wrong, onType }: FieldProps) {
  const shared = { id, value: typed, 'aria-describedby': hintId } as const;
  if (ask.kind === 'choice') {
    return (
      <select {...shared} aria-invalid={wrong} onChange={(e) => onType(e.target.value)}>
        <option value="">Choose one</option>
        {ask.choices.map((c) => (
          <option key={String(c.value)} value={String(c.value)}>
            {c.title}
          </option>
        ))}
      </select>
    );
  }
  return (
    <input
      {...shared}
      type="text"
      inputMode={ask.kind === 'number' ? 'decimal' : 'text'}
      autoComplete="off"
      aria-invalid={wrong}
      onChange={(e) => onType(e.target.value)}
    />
  );
}

/** What a field says, as its command takes it; undefined while nothing is said. */
function valueIn(ask: Command['ask'], typed: string): unknown {
  const text = typed.trim();
  if (text === '') return undefined;
  switch (ask.kind) {
    case 'choice':
      return ask.choices.find((c) => String(c.value) === typed)?.value;
    case 'number':
      return Number(text.replace(',', '.'));
    default:
      return text;
  }
}

function hintFor(ask: Command['ask']): string {
  switch (ask.kind) {
    case 'text':
      return `For example ${ask.example}`;
    case 'number':
      return `From ${ask.least} to ${ask.most}`;
    default:
      return 'What follows is shown before it is done.';
  }
}

type Shown =
  | { readonly because: string }
  | { readonly phrase: Phrase; readonly consequences: Consequences };

/** What a change would make of the phrase, or why it cannot be; null while nothing is asked. */
function whatFollows(state: EditState, command: Command, value: unknown): Shown | null {
  if (value === undefined) return null;
  const outcome = runCommand(state, command, value);
  if (outcome.kind === 'not applicable') return { because: outcome.because };
  const { phrase } = outcome.state;
  return { phrase, consequences: consequencesOf(state.phrase, phrase) };
}
