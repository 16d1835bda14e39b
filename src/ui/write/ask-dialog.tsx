import { useId, useState } from 'react';
import type { Command } from '../../core/edit/command';
import type { Writer } from '../frame/writing/writer';
import { plainLine } from '../shared/plain-text';
import { useModal } from '../shared/use-modal';
import { capital } from '../shared/words';
import { hintFor, whatIsMissing } from './frame-fields';

interface AskDialogProps {
  readonly command: Command;
  /** What was named already. */
  readonly value?: unknown;
  readonly writer: Writer;
  readonly onEnd: () => void;
}

/** Asks for the number or the text that a command needs; what does not fit is said while typing. */
export function AskDialog({ command, value: named, writer, onEnd }: AskDialogProps) {
  const { end, props } = useModal(onEnd);
  const id = useId();
  const [typed, setTyped] = useState(() => (named === undefined ? '' : String(named)));
  /** Sent with nothing typed. */
  const [sent, setSent] = useState(false);
  const { ask } = command;
  if (ask.kind !== 'number' && ask.kind !== 'text') return null;
  const value = ask.kind === 'number' ? numberIn(typed) : typed;
  const empty = typed.trim() === '';
  const missing = sent ? whatIsMissing(ask) : null;
  const because = empty ? missing : writer.why(command, value);
  return (
    <dialog {...props} className="ask" aria-labelledby={`${id}-title`}>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          setSent(empty);
          if (!empty && writer.run(command, value).kind === 'done') end();
        }}
      >
        <h2 id={`${id}-title`}>{command.title}</h2>
        <label htmlFor={`${id}-field`}>{capital(ask.label)}</label>
        <input
          id={`${id}-field`}
          type="text"
          inputMode={ask.kind === 'number' ? 'decimal' : 'text'}
          autoComplete="off"
          autoFocus
          value={typed}
          aria-describedby={`${id}-hint`}
          aria-invalid={because !== null}
          onChange={(e) => setTyped(plainLine(e.target.value))}
        />
        <p id={`${id}-hint`} role="status" className={because === null ? 'quiet' : 'refused'}>
          {because === null ? hintFor(ask, typed) : `Not so: ${because}.`}
        </p>
        <p className="buttons">
          <button type="submit" className="primary" aria-disabled={because !== null}>
            {command.title}
          </button>
          <button type="button" onClick={end}>
            Leave it
          </button>
        </p>
      </form>
    </dialog>
  );
}

function numberIn(text: string): number {
  return text.trim() === '' ? Number.NaN : Number(text.replace(',', '.'));
}
