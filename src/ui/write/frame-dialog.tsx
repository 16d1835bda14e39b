import { useDeferredValue, useId, useLayoutEffect, useMemo, useState } from 'react';
import type { Command } from '../../core/edit/command';
import { type Consequences, consequencesOf } from '../../core/edit/consequences';
import { runCommand } from '../../core/edit/run';
import type { EditState } from '../../core/edit/state';
import type { Phrase } from '../../core/phrase/types';
import type { Writer } from '../frame/writing/writer';
import { ScoreView, SMALL } from '../score/score-view';
import { useModal } from '../shared/use-modal';
import { consequenceWords } from './consequence-words';
import { type FrameSubject, OTHER } from './frame';
import { Field, hintFor, valueIn, Ways, whatIsMissing } from './frame-fields';

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
  const asking = useAsking(subject, state, way, value);
  const { here, command, told, other } = asking;
  useLayoutEffect(() => document.getElementById(`${id}-field`)?.focus(), [id]);
  useLayoutEffect(() => {
    if (other) document.getElementById(`${id}-typed`)?.focus();
  }, [other, id]);
  const asked = useDeferredValue(told);
  const shown = useMemo(() => whatFollows(state, command, asked), [state, command, asked]);
  /** Sent with nothing said. */
  const [sent, setSent] = useState(false);
  const missing = sent && told === undefined ? whatIsMissing(command.ask) : null;
  const refused = shown !== null && 'because' in shown ? shown.because : missing;
  const typed = other ? subject.typed?.(state) : undefined;
  const field = { hintId: `${id}-hint`, wrong: refused !== null };
  return (
    <dialog {...props} className="ask frame-dialog" aria-labelledby={`${id}-title`}>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          setSent(told === undefined);
          if (told !== undefined && writer.run(command, told).kind === 'done') end();
        }}
      >
        <h2 id={`${id}-title`}>{subject.name}</h2>
        <p className="quiet">Now: {subject.now(state)}</p>
        <Ways name={`${id}-way`} ways={subject.ways} chosen={asking.chosen} onPick={asking.pick} />
        <label htmlFor={`${id}-field`}>{subject.title ?? here.command.title}</label>
        <Field
          {...field}
          id={`${id}-field`}
          ask={here.command.ask}
          now={here.command.now?.(state)}
          typed={other ? OTHER : asking.typed}
          other={here.typed !== undefined}
          onType={asking.type}
        />
        {typed !== undefined && here.typed !== undefined ? (
          <>
            <label htmlFor={`${id}-typed`}>{typed.label}</label>
            <Field
              {...field}
              id={`${id}-typed`}
              ask={here.typed.ask}
              typed={asking.typed}
              onType={asking.typeOther}
            />
          </>
        ) : null}
        <p id={`${id}-hint`} role="status" className={refused === null ? 'quiet' : 'refused'}>
          {refused === null
            ? (typed?.hint ?? hintFor(command.ask, asking.typed))
            : `Not so: ${refused}.`}
        </p>
        {shown === null || 'because' in shown ? null : <Follows {...shown} id={`${id}-follows`} />}
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

/** What is asked about: which way, and what was said so far. */
function useAsking(subject: FrameSubject, state: EditState, way?: number, value?: unknown) {
  const [picked, setPicked] = useState(way ?? null);
  const [typed, setTyped] = useState(() =>
    value === undefined || value === OTHER ? '' : String(value),
  );
  /** None of the choices: what is meant is typed. */
  const [other, setOther] = useState(value === OTHER);
  const commandOf = (at: number): Command => {
    const w = subject.ways[at] ?? subject.ways[0];
    return other ? (w.typed ?? w.command) : w.command;
  };
  const told = valueIn(commandOf(picked ?? 0).ask, typed);
  const chosen = picked ?? subject.suggest?.(state, told) ?? 0;
  return {
    typed,
    other,
    told,
    chosen,
    here: subject.ways[chosen] ?? subject.ways[0],
    command: commandOf(chosen),
    pick: (at: number) => {
      // A choice of one way may be none of the other.
      if (commandOf(at).ask.kind !== commandOf(chosen).ask.kind) setTyped('');
      setPicked(at);
    },
    type: (text: string) => {
      setOther(text === OTHER);
      setTyped(text === OTHER ? '' : text);
    },
    typeOther: setTyped,
  };
}

/** What a change brings with it, in words and as music. */
function Follows({ id, phrase, consequences }: Follows & { readonly id: string }) {
  return (
    <section aria-labelledby={id}>
      <h3 id={id}>What follows</h3>
      <ul aria-live="polite">
        {consequenceWords(consequences).map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <div className="frame-after">
        <ScoreView
          phrase={phrase}
          label="Notes after the change"
          changed={consequences.changed}
          size={SMALL}
        />
      </div>
    </section>
  );
}

interface Follows {
  readonly phrase: Phrase;
  readonly consequences: Consequences;
}

type Shown = { readonly because: string } | Follows;

/** What a change would make of the phrase, or why it cannot be; null while nothing is asked. */
function whatFollows(state: EditState, command: Command, value: unknown): Shown | null {
  if (value === undefined) return null;
  const outcome = runCommand(state, command, value);
  if (outcome.kind === 'not applicable') return { because: outcome.because };
  const { phrase } = outcome.state;
  return { phrase, consequences: consequencesOf(state.phrase, phrase) };
}
