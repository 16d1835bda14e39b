import { useId, useState } from 'react';
import { laneText, laneWithBars, layForm, wholeLane } from '../../../core/edit/commands/lane';
import { barsMissing } from '../../../core/edit/lane-bars';
import { FORM_NAMES, FORMS } from '../../../core/edit/setup/forms';
import { count, keyName } from '../../shared/words';
import type { PartProps } from '../part-props';

interface WholeLaneProps extends Pick<PartProps, 'writer' | 'onDone'> {
  /** What was written takes the place of what is typed elsewhere. */
  readonly onKept: () => void;
}

/** All chords in one field, bars parted by strokes. */
export function WholeLane({ writer, onDone, onKept }: WholeLaneProps) {
  const id = useId();
  const { phrase } = writer.state;
  const [typed, setTyped] = useState<string | null>(null);
  const text = laneText(phrase);
  const problem =
    typed === null || typed.trim() === '' || typed === text ? null : writer.why(wholeLane, typed);
  // The form may be there before its bars: they are offered, never added without a word.
  const missing = problem === null || typed === null ? 0 : barsMissing(phrase, typed);
  const fits = missing > 0 && typed !== null && writer.why(laneWithBars, typed) === null;
  const keepWithBars = () => {
    if (!fits || writer.run(laneWithBars, typed).kind !== 'done') return;
    onKept();
    setTyped(null);
  };
  const keep = () => {
    if (typed === null || problem !== null) return;
    if (typed.trim() !== '' && typed !== text) {
      if (writer.run(wholeLane, typed).kind !== 'done') return;
      onKept();
    }
    setTyped(null);
  };
  const hint =
    text === null && phrase.chords.length > 0
      ? 'The chords as they are cannot be said in one line. What you write here takes their place.'
      : 'Bars are parted by |, chords in a bar by spaces: I7 | IV7 | I7 V7. A single bar ends with |: I7 V7 |.';
  return (
    <div className="lane-field">
      <label htmlFor={`${id}-lane`}>All chords in one line</label>
      <input
        id={`${id}-lane`}
        type="text"
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        data-as="lane"
        value={typed ?? text ?? ''}
        aria-invalid={problem !== null}
        aria-describedby={`${id}-hint`}
        onChange={(e) => setTyped(e.target.value)}
        onBlur={keep}
        onKeyDown={(e) => {
          if (e.key === 'Escape') onDone();
          if (e.key !== 'Enter' || e.nativeEvent.isComposing) return;
          if (fits) keepWithBars();
          else keep();
        }}
      />
      <p id={`${id}-hint`} role="status" className={problem === null || fits ? 'quiet' : 'refused'}>
        {fits
          ? `These are ${count(phrase.bars.length + missing, 'bar')} of chords, and the phrase has ${count(phrase.bars.length, 'bar')}.`
          : problem === null
            ? hint
            : `Not yet: ${problem}.`}
      </p>
      {fits ? (
        <button type="button" onClick={keepWithBars}>
          Add {count(missing, 'bar')} and write them <kbd>Enter</kbd>
        </button>
      ) : null}
      <FormChoice
        writer={writer}
        onLaid={() => {
          setTyped(null);
          onKept();
        }}
      />
    </div>
  );
}

/** The chords of a form by its name, in the key of the phrase, with the bars they need. */
function FormChoice({
  writer,
  onLaid,
}: Pick<WholeLaneProps, 'writer'> & { readonly onLaid: () => void }) {
  const id = useId();
  const [told, setTold] = useState('');
  return (
    <>
      <label htmlFor={`${id}-form`}>
        Or a form by its name, in {keyName(writer.state.phrase.key)}
      </label>
      <select
        id={`${id}-form`}
        value=""
        aria-describedby={`${id}-told`}
        onChange={(e) => {
          const outcome = writer.run(layForm, e.target.value);
          setTold(outcome.kind === 'done' ? '' : `Not done: ${outcome.because}.`);
          if (outcome.kind === 'done') onLaid();
        }}
      >
        <option value="">Choose one</option>
        {FORM_NAMES.map((name) => (
          <option key={name} value={name}>
            {FORMS[name].title}
          </option>
        ))}
      </select>
      <p id={`${id}-told`} role="status" className="refused" hidden={told === ''}>
        {told}
      </p>
    </>
  );
}
