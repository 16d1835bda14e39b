import { type ReactNode, useId, useState } from 'react';
import { valueThere } from '../../../core/edit/commands/values';
import type { EditState } from '../../../core/edit/state';
import { type Bound, boundTo } from '../../../core/edit/table';
import type { NoteValue } from '../../../core/phrase/note-value';
import { keyWords, titleOfRun } from '../../shared/command-words';
import { NoteSign } from '../note-sign';
import type { PartProps } from '../part-props';
import './touch-row.css';

/** Keys of the table of commands, row by row; what a key is called and does is said there only. */
const ROWS: readonly { readonly label: string; readonly keys: readonly string[] }[] = [
  { label: 'Going about', keys: ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown'] },
  { label: 'Digits', keys: ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'] },
  { label: 'Length', keys: ['w', 'H', 'q', 'e', 's', '.', ',', ';'] },
  { label: 'Rest and taking out', keys: ['r', 'Delete', 'Backspace'] },
];

/** A sign or a word of the title is enough where the whole would take a row of its own. */
const SHORT: Readonly<Record<string, string>> = {
  '.': 'dot',
  ',': 'shorter',
  ';': 'longer',
  r: 'rest',
  Delete: 'out',
  Backspace: 'back',
};

interface TouchRowProps extends Pick<PartProps, 'writer'> {
  /** Taps and arrows choose from where the cursor is. */
  readonly choosing: boolean;
  readonly setChoosing: (on: boolean) => void;
}

/**
 * Big buttons for a phone in the hand or a tablet on a music stand: the cursor, digits as they are read
 * now, lengths as note signs, rest, taking out, choosing and undo. Open at once where the pointer is a
 * finger, elsewhere on demand. A button that cannot be used stays in reach, and tells why when it is
 * pressed; the length in force looks chosen.
 */
export function TouchRow(props: TouchRowProps) {
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
        <span className="touch-word">Touch keys</span>
      </button>
      <div id={rows} hidden={!open}>
        {open ? <Keys {...props} /> : null}
      </div>
    </section>
  );
}

function Keys({ writer, choosing, setChoosing }: TouchRowProps) {
  const { reading } = writer.state.pen;
  return (
    <div className="touch-rows">
      {ROWS.map(({ label, keys }) => (
        // biome-ignore lint/a11y/useSemanticElements: a row of buttons is no form.
        <div key={label} className="touch-keys" role="group" aria-label={label}>
          {keys.map((key) => {
            // While choosing, an arrow is the arrow with Shift.
            const name = choosing && key.startsWith('Arrow') ? `Shift+${key}` : key;
            const bound = boundTo(name, reading);
            return bound === null ? null : (
              <TouchKey key={key} name={key} bound={bound} writer={writer} />
            );
          })}
        </div>
      ))}
      <div className="touch-keys">
        <button type="button" aria-pressed={choosing} onClick={() => setChoosing(!choosing)}>
          choose
        </button>
        <button type="button" aria-disabled={writer.history.done === 0} onClick={writer.undo}>
          undo
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
  const digit = /^\d$/u.test(name);
  const pressed = inForce(writer.state, { command, value });
  return (
    <button
      type="button"
      className={digit || name.includes('Arrow') ? 'touch-digit' : undefined}
      aria-label={titleOfRun(command, value)}
      {...(pressed === null ? {} : { 'aria-pressed': pressed })}
      aria-disabled={pressed !== true && writer.why(command, value) !== null}
      onClick={() => writer.run(command, value)}
    >
      {faceOf(name, { command, value })}
    </button>
  );
}

/** Whether a length is the one in force; null for what is no length. */
function inForce(state: EditState, { command, value }: Bound): boolean | null {
  if (command.id === 'length.value') return valueThere(state).value === value;
  return command.id === 'length.dot' ? valueThere(state).dots === 1 : null;
}

/** What stands on a key; what it does is its name. */
function faceOf(name: string, { command, value }: Bound): ReactNode {
  if (command.id === 'length.value') return <NoteSign value={value as NoteValue} />;
  if (/^\d$/u.test(name) || name.includes('Arrow')) return keyWords(name.replace('Shift+', ''));
  return SHORT[name] ?? command.title;
}
