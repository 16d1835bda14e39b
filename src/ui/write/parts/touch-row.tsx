import { useId, useState } from 'react';
import { type Bound, boundTo } from '../../../core/edit/table';
import { keyWords, titleOfRun } from '../../shared/command-words';
import type { PartProps } from '../part-props';
import './touch-row.css';

/** Keys of the table of commands, row by row; what a key is called and does is said there only. */
const ROWS: readonly { readonly label: string; readonly keys: readonly string[] }[] = [
  { label: 'Going about', keys: ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown'] },
  { label: 'Digits', keys: ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'] },
  { label: 'Length', keys: ['w', 'q', 'e', 's', ',', ';', '.'] },
  { label: 'Rest and taking out', keys: ['r', 'Delete', 'Backspace'] },
];

/** A word of the title is enough where the whole would take a row of its own. */
const SHORT: Readonly<Record<string, string>> = {
  '.': 'dot',
  r: 'rest',
  Delete: 'take out',
  Backspace: 'back',
};

/**
 * Big buttons for a tablet on a music stand: the cursor, digits as they are read now, lengths, rest,
 * taking out and undo. Open at once where the pointer is a finger, elsewhere on demand. A button
 * that cannot be used stays in reach, and tells why when it is pressed.
 */
export function TouchRow({ writer }: Pick<PartProps, 'writer'>) {
  const [open, setOpen] = useState(() => matchMedia('(pointer: coarse)').matches);
  const rows = useId();
  return (
    <section className="touch" aria-label="Touch keys">
      <button
        type="button"
        className="plain"
        aria-expanded={open}
        aria-controls={rows}
        onClick={() => setOpen(!open)}
      >
        Touch keys
      </button>
      <div id={rows} hidden={!open}>
        {open ? <Keys writer={writer} /> : null}
      </div>
    </section>
  );
}

function Keys({ writer }: Pick<PartProps, 'writer'>) {
  const { reading } = writer.state.pen;
  return (
    <div className="touch-rows">
      {ROWS.map(({ label, keys }) => (
        // biome-ignore lint/a11y/useSemanticElements: a row of buttons is no form.
        <div key={label} className="touch-keys" role="group" aria-label={label}>
          {keys.map((key) => {
            const bound = boundTo(key, reading);
            return bound === null ? null : (
              <TouchKey key={key} name={key} bound={bound} writer={writer} />
            );
          })}
        </div>
      ))}
      <div className="touch-keys">
        <button type="button" aria-disabled={writer.history.done === 0} onClick={writer.undo}>
          Undo
        </button>
      </div>
    </div>
  );
}

interface TouchKeyProps extends Pick<PartProps, 'writer'> {
  readonly name: string;
  readonly bound: Bound;
}

function TouchKey({ name, bound: { command, value }, writer }: TouchKeyProps) {
  const title = titleOfRun(command, value);
  const digit = /^\d$/u.test(name);
  return (
    <button
      type="button"
      className={digit ? 'touch-digit' : undefined}
      aria-label={title}
      aria-disabled={writer.why(command, value) !== null}
      onClick={() => writer.run(command, value)}
    >
      {digit || name.startsWith('Arrow')
        ? keyWords(name)
        : (SHORT[name] ?? shortOf({ command, value }))}
    </button>
  );
}

/** What a command is told, where that says enough on a button: `an eighth`. */
function shortOf({ command, value }: Bound): string {
  const { ask, title } = command;
  const choice = ask.kind === 'choice' ? ask.choices.find((c) => c.value === value) : undefined;
  return choice?.title ?? title;
}
