import { useDeferredValue, useId, useLayoutEffect, useMemo, useState } from 'react';
import type { Command } from '../../core/edit/command';
import { laneText } from '../../core/edit/commands/lane';
import { runCommand } from '../../core/edit/run';
import { FORM_NAMES, FORMS } from '../../core/edit/setup/forms';
import type { EditState } from '../../core/edit/state';
import { canonicalSymbol } from '../../core/theory/chord';
import type { Writer } from '../frame/writing/writer';
import { tunedAs } from '../shared/facts';
import { plainLine } from '../shared/plain-text';
import { useModal } from '../shared/use-modal';
import { useSettled } from '../shared/use-settled';
import { chordName, count, feelName, keyName, tempoName } from '../shared/words';

interface SetupDialogProps {
  readonly command: Command;
  /** What was said already. */
  readonly value?: unknown;
  readonly writer: Writer;
  readonly onEnd: () => void;
}

/** What can be said beside key, tempo and title, in a word that is tapped or typed. */
const WORDS: readonly {
  readonly label: string;
  readonly words: readonly (readonly [string, string])[];
}[] = [
  {
    label: 'Metre and feel',
    words: [
      ['3/4', '3/4'],
      ['6/8', '6/8'],
      ['12/8', '12/8'],
      ['sh', 'shuffle'],
      ['light', 'lightly swung'],
    ],
  },
  { label: 'Form', words: FORM_NAMES.map((n) => [FORMS[n].short, FORMS[n].title] as const) },
];

/** One line for all that stands at the head of a phrase; what it means is shown while it is typed. */
export function SetupDialog({ command, value, writer, onEnd }: SetupDialogProps) {
  const { end, props } = useModal(onEnd);
  const id = useId();
  const { state } = writer;
  const [typed, setTyped] = useState(() => (typeof value === 'string' ? value : ''));
  const [hasty, setHasty] = useState(false);
  useLayoutEffect(() => document.getElementById(`${id}-field`)?.focus(), [id]);
  const asked = useDeferredValue(typed);
  const shown = useMemo(() => meant(state, command, asked), [state, command, asked]);
  const none = hasty && typed.trim() === '' ? 'nothing is typed yet' : null;
  const refused = typeof shown === 'string' ? shown : none;
  // Read out when the typing pauses, and not letter by letter.
  const spoken = useSettled(inWords(shown, refused), PAUSE);
  return (
    <dialog {...props} className="ask setup-dialog" aria-labelledby={`${id}-title`}>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          setHasty(true);
          if (typed.trim() !== '' && writer.run(command, typed).kind === 'done') end();
        }}
      >
        <h2 id={`${id}-title`}>Set it up in one line</h2>
        <label htmlFor={`${id}-field`}>Key, metre, feel, tempo and form, then the title</label>
        <input
          id={`${id}-field`}
          type="text"
          autoComplete="off"
          autoCapitalize="off"
          spellCheck={false}
          placeholder="A 12b 12/8 92 Mill Race"
          value={typed}
          aria-describedby={`${id}-hint`}
          aria-invalid={refused !== null}
          onChange={(e) => setTyped(plainLine(e.target.value))}
        />
        <p id={`${id}-hint`} className={refused === null ? 'quiet' : 'refused'}>
          {refused === null
            ? 'In any order, each once. Chords, a bar each: A7 D7 or I7 IV7; ‘8 bars’ lays out that many; ‘open G’ and ‘capo 2’ tune it. What follows the first other word is the title.'
            : `Not so: ${refused}.`}
        </p>
        <Words
          onWord={(word) => {
            setTyped((before) => `${before.trimEnd()} ${word} `.trimStart());
            document.getElementById(`${id}-field`)?.focus();
          }}
        />
        {shown === null || typeof shown === 'string' ? null : (
          <dl className="setup-meant">
            {shown.map(([name, what]) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd>{what}</dd>
              </div>
            ))}
          </dl>
        )}
        <p role="status" className="unseen">
          {spoken}
        </p>
        <p className="buttons">
          <button
            type="submit"
            className="primary"
            aria-disabled={typed.trim() === '' || refused !== null}
          >
            Set it up
          </button>
          <button type="button" onClick={end}>
            Leave it
          </button>
        </p>
      </form>
    </dialog>
  );
}

/** Words that can stand in the line, to be pressed. */
function Words({ onWord }: { readonly onWord: (word: string) => void }) {
  return WORDS.map(({ label, words }) => (
    // biome-ignore lint/a11y/useSemanticElements: a row of buttons is no form.
    <div key={label} className="setup-words" role="group" aria-label={label}>
      {words.map(([word, name]) => (
        <button key={word} type="button" onClick={() => onWord(word)}>
          {name} {word === name ? null : <kbd>{word}</kbd>}
        </button>
      ))}
    </div>
  ));
}

/** How long nothing is typed before what it means is read out, in milliseconds. */
const PAUSE = 700;

/** What is read out of what the line means. */
function inWords(shown: ReturnType<typeof meant>, refused: string | null): string {
  if (refused !== null) return `Not so: ${refused}.`;
  if (shown === null || typeof shown === 'string') return '';
  return `${shown.map(([name, what]) => `${name} ${what}`).join(', ')}.`;
}

/** What the phrase would be, name by name; the reason where it cannot be so; null for nothing. */
function meant(
  state: EditState,
  command: Command,
  line: string,
): readonly (readonly [string, string])[] | string | null {
  if (line.trim() === '') return null;
  const outcome = runCommand(state, command, line);
  if (outcome.kind === 'not applicable') return outcome.because;
  const p = outcome.state.phrase;
  const { meter } = p.bars[0]!;
  const tuned = tunedAs(p.instrument).join(', ');
  const lane = laneText(p)?.replace(/[^\s|]+/gu, (name) => signOf(name));
  return [
    ['Key', keyName(p.key)],
    ['Metre', `${meter.beats}/${meter.beatType}`],
    ['Tempo', `${tempoName(p.tempo)}, ${feelName(p.feel)}`],
    ['Bars', count(p.bars.length, 'bar')],
    ...(lane === undefined ? [] : [['Chords', lane] as const]),
    ...(tuned === '' ? [] : [['Instrument', tuned] as const]),
    ['Title', p.meta.title === '' ? 'none yet' : p.meta.title],
  ];
}

function signOf(text: string): string {
  const symbol = canonicalSymbol(text);
  return symbol.ok ? chordName(symbol.value) : text;
}
