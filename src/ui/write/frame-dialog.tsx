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
import { type FrameSubject, OTHER } from './frame';
import type { Writer } from './writer';

interface FrameDialogProps {
  readonly subject: FrameSubject;
  /** What was named, which is asked about first. */
  readonly value?: unknown;
  /** The way that was named; absent: the one that fits. */
  readonly way?: number;
  readonly writer: Writer;
  readonly onEnd: () => void;
}

/** Changes what holds for many notes at once: what follows is shown before it is done. */
export function FrameDialog({ subject, way, value, writer, onEnd }: FrameDialogProps) {
  const { end, props } = useModal(onEnd);
  const id = useId();
  const { state } = writer;
  const [picked, setPicked] = useState(way ?? null);
  const [typed, setTyped] = useState(() =>
    value === undefined || value === OTHER ? '' : String(value),
  );
  /** None of the choices: what is meant is typed. */
  const [other, setOther] = useState(value === OTHER);
  useLayoutEffect(() => document.getElementById(`${id}-field`)?.focus(), [id]);
  useLayoutEffect(() => {
    if (other) document.getElementById(`${id}-typed`)?.focus();
  }, [other, id]);
  const first = subject.ways[0];
  const told = valueIn((other ? (first.typed ?? first.command) : first.command).ask, typed);
  const chosen = picked ?? subject.suggest?.(state, told) ?? 0;
  const here = subject.ways[chosen] ?? first;
  const command = other ? (here.typed ?? here.command) : here.command;
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
                  onChange={() => setPicked(i)}
                />{' '}
                {capital(w.label)}
              </label>
            ))}
          </fieldset>
        )}
        <label htmlFor={`${id}-field`}>{subject.title ?? here.command.title}</label>
        <Field
          id={`${id}-field`}
          ask={here.command.ask}
          now={here.command.now?.(state)}
          typed={other ? OTHER : typed}
          other={here.typed !== undefined}
          hintId={`${id}-hint`}
          wrong={refused !== null}
          onType={(text) => {
            setOther(text === OTHER);
            setTyped(text === OTHER ? '' : text);
          }}
        />
        {other && here.typed !== undefined ? (
          <>
            <label htmlFor={`${id}-typed`}>The strings, the first string first</label>
            <Field
              id={`${id}-typed`}
              ask={here.typed.ask}
              typed={typed}
              hintId={`${id}-hint`}
              wrong={refused !== null}
              onType={setTyped}
            />
          </>
        ) : null}
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
  /** The choice that holds already. */
  readonly now?: unknown;
  /** Something else than the choices can be typed. */
  readonly other?: boolean;
  readonly hintId: string;
  readonly wrong: boolean;
  readonly onType: (text: string) => void;
}

function Field({ id, ask, typed, now, other, hintId, wrong, onType }: FieldProps) {
  const shared = { id, value: typed, 'aria-describedby': hintId } as const;
  if (ask.kind === 'choice') {
    return (
      <select
        {...shared}
        aria-invalid={wrong}
        onChange={(e) => onType(e.target.value)}
        onKeyDown={(e) => {
          // A list of choices keeps Enter for itself, and here it means what it means in a field.
          if (e.key !== 'Enter' || typed === '') return;
          e.preventDefault();
          e.currentTarget.form?.requestSubmit();
        }}
      >
        <option value="">Choose one</option>
        {ask.choices.map((c) => (
          <option key={String(c.value)} value={String(c.value)}>
            {c.title}
            {c.value === now ? ', as it is now' : ''}
          </option>
        ))}
        {other === true ? <option value={OTHER}>other strings, typed</option> : null}
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
