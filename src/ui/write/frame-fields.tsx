import { type Ask, type Command, rangeInWords } from '../../core/edit/command';
import { capital } from '../shared/words';
import { type FrameWay, OTHER } from './frame';

interface WaysProps {
  readonly name: string;
  readonly ways: readonly FrameWay[];
  readonly chosen: number;
  readonly onPick: (at: number) => void;
}

/** The ways in which something can be changed, where there are several. */
export function Ways({ name, ways, chosen, onPick }: WaysProps) {
  if (ways.length === 1) return null;
  return (
    <fieldset>
      <legend>How</legend>
      {ways.map((w, i) => (
        <label key={w.label}>
          <input type="radio" name={name} checked={i === chosen} onChange={() => onPick(i)} />{' '}
          {capital(w.label)}
        </label>
      ))}
    </fieldset>
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

/** A field for what a command has to be told; Enter means in it what it means in a line of text. */
export function Field({ id, ask, typed, now, other, hintId, wrong, onType }: FieldProps) {
  const shared = { id, value: typed, 'aria-describedby': hintId } as const;
  if (ask.kind === 'choice') {
    return (
      <select
        {...shared}
        aria-invalid={wrong}
        onChange={(e) => onType(e.target.value)}
        onKeyDown={(e) => {
          // A list of choices keeps Enter for itself, and here it means what it means in a field.
          if (e.key !== 'Enter') return;
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
export function valueIn(ask: Command['ask'], typed: string): unknown {
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

/** What to do where nothing was said and Enter was pressed. */
export function whatIsMissing(ask: Command['ask']): string {
  switch (ask.kind) {
    case 'choice':
      return 'nothing is chosen yet; choose one of the list';
    case 'number':
      return `there is no number yet; type one ${rangeInWords(ask)}`;
    case 'text':
      return `nothing is typed yet; type it, for example ${ask.example}`;
    default:
      return 'nothing is said yet';
  }
}

/** What can be said, in a few words. */
export function hintFor(ask: Command['ask'], typed: string): string {
  switch (ask.kind) {
    case 'text': {
      const read = typed.trim() === '' ? null : (ask.reads?.(typed) ?? null);
      return read === null ? `For example ${ask.example}` : `That is ${read}`;
    }
    case 'number':
      return capital(rangeInWords(ask));
    default:
      return 'What follows is shown before it is done.';
  }
}
